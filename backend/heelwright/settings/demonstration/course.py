"""One client's year: registered, booked, and seen at each appointment."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from typing import Any
from uuid import UUID

from heelwright.rulebook import Book
from heelwright.settings.demonstration.diary import MINUTES, Diary, past_days
from heelwright.settings.demonstration.log import Log
from heelwright.settings.demonstration.scenario import Client, Event, Kind, Scenario


@dataclass
class World:
    """What all clients share."""

    scenario: Scenario
    book: Book
    diary: Diary
    log: Log
    today: date
    staff: Mapping[str, UUID]
    facilities: Mapping[str, UUID]


@dataclass
class Course:
    """A client, and what has come to stand about them so far. `marks` are the ids of what is on the
    foot map, the same all year."""

    world: World
    client: Client
    kind: Kind
    id: UUID
    marks: list[str]
    consent: UUID | None = None
    cleared: list[tuple[date, date]] = field(default_factory=list)

    @property
    def who(self) -> str:
        return self.client.technician

    def say(self, at: datetime, name: str, /, **args: Any) -> UUID:
        return self.world.log.say(self.who, at, name, **args)

    def new_id(self, at: datetime) -> UUID:
        return self.world.log.new_id(at)

    def cleared_on(self, day: date) -> bool:
        return any(start <= day <= end for start, end in self.cleared)


def appointments(world: World, client: Client) -> tuple[list[datetime], datetime | None]:
    """A client's past appointments, and the next one if it is booked."""
    days = past_days(client, world.scenario.kinds[client.kind].weeks, world.today)
    past = [world.diary.take(client.technician, day) for day in days]
    if client.booked_in is None:
        return past, None
    return past, world.diary.take(client.technician, world.today + timedelta(days=client.booked_in))


def begin(world: World, client: Client, at: datetime) -> Course:
    """Registered: by the coordinator where they live in a facility, else by the technician."""
    marks = [str(world.log.new_id(at)) for _ in range(8)]
    course = Course(world, client, world.scenario.kinds[client.kind], world.log.new_id(at), marks)
    card = _card(course)
    if client.facility is None:
        position = client.position and client.position.model_dump()
        at_home = {"position": position, "entry_note": client.entry_note}
        course.say(at, "register_client", **card, **at_home, note=client.note)
        return course
    house = world.scenario.practice.facilities[client.facility]
    card |= {"facility": world.facilities[client.facility]}
    card |= client.model_dump(include={"room", "corridor", "see_last"})
    world.log.say(house.coordinator, at, "register_client", **card)
    if client.note:
        noted = at + timedelta(minutes=2)
        changes = {"note": client.note}
        course.say(noted, "amend_client", client=course.id, seen=0, changes=changes)
    return course


def _card(course: Course) -> dict[str, Any]:
    client = course.client
    contact = client.contact.model_dump() if client.contact else {}
    return {
        "client": course.id,
        "name": client.name,
        "born": client.born,
        "address": client.address,
        "phone": client.phone,
        "email": client.email,
        "decides_for_self": not course.kind.represented,
        **{f"contact_{key}": value for key, value in contact.items()},
    }


def book(course: Course, start: datetime, at: datetime) -> UUID:
    booking = course.new_id(at)
    course.say(
        at,
        "book_visit",
        booking=booking,
        client=course.id,
        staff=course.world.staff[course.who],
        starts_at=start,
        minutes=MINUTES,
        place="facility" if course.client.facility else "home",
        # Rounds are on fixed days, and so some of their visits come late; travel is not laid out.
        meant=["too_late", "short_travel"],
        service="foot_care",
    )
    return booking


def event_at(client: Client, ago: int) -> Event | None:
    """What is out of the usual at the appointment that was so many before the last one."""
    event = client.event
    if event is None or event.what == "consent_withdrawn" or event.visits_ago != ago:
        return None
    return event


def withdraw_consent(course: Course) -> None:
    event, consent, world = course.client.event, course.consent, course.world
    if event is None or event.what != "consent_withdrawn" or consent is None:
        return
    at = world.diary.at(world.today - timedelta(days=event.days_ago), time(18, 30))
    who = course.who
    if course.client.facility:
        who = world.scenario.practice.facilities[course.client.facility].coordinator
    world.log.say(
        who, at, "withdraw_consent", consent=consent, reason=event.reason, withdrawn_at=at
    )
