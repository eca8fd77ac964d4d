"""Loads the invented practice through the write path: founded, phones enrolled, a year received."""

import random
from dataclasses import dataclass
from datetime import UTC, datetime, time, timedelta
from pathlib import Path
from uuid import UUID
from zoneinfo import ZoneInfo

from django.db import transaction
from django.http import HttpRequest
from pydantic import TypeAdapter

from heelwright import vault
from heelwright.commandlog.receive import receive
from heelwright.commandlog.wire import Envelope, Receipt
from heelwright.people.api import NewDevice, enrol_device
from heelwright.people.founding import Founder, found_practice
from heelwright.rulebook import Book, book_for
from heelwright.settings.demonstration.ahead import ahead
from heelwright.settings.demonstration.course import World
from heelwright.settings.demonstration.diary import Diary
from heelwright.settings.demonstration.hours import hours
from heelwright.settings.demonstration.kit import work_with_kit
from heelwright.settings.demonstration.log import Log, Sent, deliveries
from heelwright.settings.demonstration.rounds import rounds
from heelwright.settings.demonstration.scenario import Scenario, read
from heelwright.settings.demonstration.takings import takings
from heelwright.settings.demonstration.travel import travel
from heelwright.settings.demonstration.year import live, opening
from heelwright.settings.management.commands.staff_password import set_password
from heelwright.tenancy.models import Device, Practice, Staff

ON_THE_ROAD = timedelta(minutes=1)
PLAIN = TypeAdapter(dict[str, object])


class NotAsTold(Exception):
    """A command of the scenario was refused, so the practice would not be the one it describes."""


@dataclass
class Phones:
    """The devices that speak, and what the server has answered them."""

    book: Book
    devices: dict[str, Device]
    receipts: dict[UUID, Receipt]

    def deliver(self, sent: list[Sent]) -> None:
        for run in deliveries(sent):
            device = self.devices[run[0].staff]
            device.refresh_from_db(fields=["last_seq"])
            envelopes = [
                self._envelope(command, device.last_seq + place)
                for place, command in enumerate(run, start=1)
            ]
            for command, receipt in zip(
                run, receive(device.pk, envelopes, run[-1].at + ON_THE_ROAD).receipts, strict=True
            ):
                if receipt.status != "applied":
                    code = receipt.refusal.code if receipt.refusal else receipt.status
                    raise NotAsTold(f"{command.name}: {code}")
                self.receipts[command.id] = receipt

    def _envelope(self, command: Sent, seq: int) -> Envelope:
        args = PLAIN.dump_python(command.args, mode="json")
        if command.closes is not None:
            args["incident"] = str(self.receipts[command.closes].incidents[0])
        return Envelope(
            id=command.id,
            seq=seq,
            name=command.name,
            args=args,
            made_at=command.at,
            rulebook=self.book.version,
        )


@dataclass(frozen=True)
class Loaded:
    scenario: Scenario
    practice: UUID
    commands: int


@transaction.atomic
def load(folder: Path, now: datetime, chance: random.Random) -> Loaded:
    """All of it or, where anything fails, nothing."""
    scenario = read(folder)
    practice = scenario.practice
    zone = ZoneInfo(practice.zone)
    today = now.astimezone(zone).date()
    began = datetime.combine(today - timedelta(weeks=54), time(9), zone).astimezone(UTC)
    owner = practice.staff[practice.owner]
    with vault.unit():
        founder = Founder(owner.name, owner.email, owner.password)
        told = practice.model_dump(include={"name", "zone", "units", "place", "reply_to"})
        founded = Practice(**told, invented=True)
        console = found_practice(founded, founder, began)
        phones = Phones(book_for(practice.place or None), {practice.owner: console}, {})
        setup = Log(chance)
        staff, facilities = opening(practice, setup, began)
        phones.deliver(setup.sent)
        staff[practice.owner] = console.staff_id
        phones.devices = {key: _phone(scenario, key, setup, began) for key in practice.staff}
        year = Log(chance)
        diary = Diary(practice.zone, today)
        world = World(scenario, phones.book, diary, year, today, staff, facilities)
        live(world)
        rounds(world)
        work_with_kit(world)
        travel(world)
        takings(world)
        hours(world)
        ahead(world)
        phones.deliver(year.sent)
    return Loaded(scenario, console.practice_id, len(phones.receipts))


def _phone(scenario: Scenario, key: str, log: Log, at: datetime) -> Device:
    """Enrols a person's first phone, as the sign-in does once the password has been checked."""
    person = scenario.practice.staff[key]
    staff = Staff.objects.get(email=person.email)
    set_password(staff, person.password)
    request = HttpRequest()
    request.auth = staff  # type: ignore[attr-defined]
    name = f"{person.name.split()[0]}'s phone (invented)"
    enrolled = enrol_device(request, NewDevice(device=log.new_id(at), name=name))
    return Device.objects.get(pk=enrolled.device)
