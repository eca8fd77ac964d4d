"""The practice's year as commands: first how it was set up, then what happened with each client."""

from datetime import datetime, timedelta
from uuid import UUID

from heelwright.settings.demonstration.appointment import Appointment
from heelwright.settings.demonstration.course import (
    World,
    appointments,
    begin,
    book,
    event_at,
    withdraw_consent,
)
from heelwright.settings.demonstration.log import Log
from heelwright.settings.demonstration.scenario import Client, Practice

BEFORE_THE_FIRST_VISIT = timedelta(days=6)


def opening(practice: Practice, log: Log, at: datetime) -> tuple[dict[str, UUID], dict[str, UUID]]:
    """The owner adds colleagues and facilities; returns the ids of both, without the owner."""
    staff, facilities = {}, {}
    for key, person in practice.staff.items():
        if key != practice.owner:
            staff[key] = log.new_id(at)
            fields = person.model_dump(exclude={"password"})
            log.say(practice.owner, at, "register_staff", staff=staff[key], **fields)
    for key, house in practice.facilities.items():
        facilities[key] = log.new_id(at)
        fields = house.model_dump(include={"name", "address", "position", "phone"})
        log.say(practice.owner, at, "register_facility", facility=facilities[key], **fields)
        walked = house.model_dump(include={"quiet_times", "corridors"})
        log.say(
            practice.owner, at, "amend_facility", facility=facilities[key], seen=0, changes=walked
        )
        for who in (house.technician, house.coordinator):
            log.say(
                practice.owner, at, "assign_facility", facility=facilities[key], staff=staff[who]
            )
    return staff, facilities


def live(world: World) -> None:
    """Everyone's year. Those who come today choose their hour first."""
    clients = sorted(world.scenario.clients, key=lambda client: client.booked_in != 0)
    for client in clients:
        _live(world, client)


def _live(world: World, client: Client) -> None:
    past, following = appointments(world, client)
    starts = [*past, *([following] if following else [])]
    registered = starts[0] - BEFORE_THE_FIRST_VISIT
    course = begin(world, client, registered)
    booking = book(course, starts[0], registered + timedelta(minutes=4))
    for number, start in enumerate(past):
        progress = number / max(1, len(past) - 1)
        event = event_at(client, ago=len(past) - 1 - number)
        over = Appointment(course, booking, start, progress, event).keep()
        if number + 1 < len(starts):
            booking = book(course, starts[number + 1], over + timedelta(minutes=1))
    withdraw_consent(course)
