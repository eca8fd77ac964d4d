"""The invented practice as typed data, read from `demo_data/`. Says what there is, not what was
done."""

from datetime import date
from pathlib import Path
from typing import Any, Literal

import yaml

from heelwright.declarations import Role
from heelwright.intake.rules import Level
from heelwright.people.times import Span
from heelwright.places.position import Position
from heelwright.rulebook.mileage_entries import Unit, VehicleKind
from heelwright.settings.demonstration.scenario_kit import Kit
from heelwright.settings.demonstration.shape import Shape

Answer = bool | int | float | str | list[str]
Answers = dict[str, Answer]
Foot = Literal["left", "right"]


class Person(Shape):
    name: str
    email: str
    role: Role
    password: str


class QuietTime(Shape):
    name: str
    starts: str
    ends: str


class House(Shape):
    """A facility: its technician does the rounds, its coordinator knows the residents."""

    name: str
    address: str
    position: Position
    phone: str
    quiet_times: list[QuietTime]
    corridors: list[str]
    technician: str
    coordinator: str


class Clinician(Shape):
    name: str
    role: str


class KitBit(Shape):
    family: str
    head_mm: float


class Softener(Shape):
    product: str
    urea_percent: float


class Vehicle(Shape):
    kind: VehicleKind
    unit: Unit
    name: str
    plate: str


class DaysOff(Shape):
    """From so many days after today, or the Monday after. Without `who` it is everybody's."""

    who: str | None = None
    name: str
    first: int
    days: int


class Round(Shape):
    """The newest day on which residents were visited, or, where it is not `over`, the next one.
    `not_seen` has the reason beside the name."""

    facility: str
    over: bool
    note: str = ""
    not_seen: dict[str, str] = {}


class Practice(Shape):
    name: str
    address: str
    zone: str
    units: str
    reply_to: str
    place: str
    owner: str
    staff: dict[str, Person]
    facilities: dict[str, House]
    clinicians: dict[str, Clinician]
    vehicles: dict[str, Vehicle]
    bases: dict[str, Position]
    days_off: list[DaysOff]
    rounds: list[Round]
    kit: list[KitBit]
    softeners: list[Softener]
    remarks: list[str]


class Spot(Shape):
    what: str
    foot: Foot
    view: Literal["top", "sole"]
    region: str


class Crack(Shape):
    """As it was a year ago."""

    foot: Foot
    region: str
    length_mm: float
    depth_mm: float


class Clearance(Shape):
    by: str
    scope: str
    shown: str


class Kind(Shape):
    outcome: Level
    weeks: int
    answers: Answers = {}
    not_felt: list[str] = []
    answered_by: Literal["client", "family", "care_staff"] = "client"
    represented: bool = False
    findings: list[Spot] = []
    cracks: list[Crack] = []
    clearance: Clearance | None = None
    places: list[str]
    work: list[str]


class Contact(Shape):
    name: str
    phone: str
    role: str


class Event(Shape):
    """Something out of the usual. `visits_ago` counts from the last visit, which is 0."""

    what: Literal[
        "referred", "too_fast", "softener_too_long", "entered_in_error", "consent_withdrawn"
    ]
    visits_ago: int = 0
    days_ago: int = 0
    answers: Answers = {}
    finding: Spot | None = None
    answered_after: int | None = None
    by: str = ""
    answer: str = ""
    reason: str = ""
    closed: str = ""


class Today(Shape):
    """What is new about a client today, and the outcome that it must force."""

    answers: Answers
    finding: Spot | None = None
    outcome: Level


class Wait(Shape):
    """All in days from today; `since` so many ago."""

    since: int
    first: int
    last: int | None = None
    times: list[Span] = []
    note: str = ""


class Client(Shape):
    name: str
    born: date
    technician: str
    kind: str
    booked_in: int | None = None
    overdue_by: int | None = None
    since_weeks: int = 52
    facility: str | None = None
    room: str = ""
    corridor: str = ""
    see_last: bool = False
    address: str = ""
    position: Position | None = None
    entry_note: str = ""
    visit_times: list[Span] = []
    repeat: int = 0
    waits: Wait | None = None
    phone: str = ""
    email: str = ""
    contact: Contact | None = None
    note: str = ""
    clearance_ended: int | None = None
    event: Event | None = None
    held_by: list[str] = []
    today: Today | None = None


class Scenario(Shape):
    practice: Practice
    kinds: dict[str, Kind]
    clients: list[Client]
    calm: Answers
    kit: Kit


def read(folder: Path) -> Scenario:
    """The scenario in a folder; raises pydantic's ValidationError for data that is not as
    declared."""
    parts: dict[str, Any] = {
        part: yaml.safe_load((folder / f"{part}.yaml").read_text(encoding="utf-8"))
        for part in ("practice", "kinds", "clients", "calm", "kit")
    }
    return Scenario.model_validate(parts)
