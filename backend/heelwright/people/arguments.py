"""The shapes of what people type about clients, facilities and staff."""

from datetime import date
from typing import Annotated, Any
from uuid import UUID

from pydantic import AfterValidator, ConfigDict, Field, StringConstraints, model_validator
from pydantic_core import PydanticCustomError

from heelwright.commandlog.wire import Args, Line, Name, Text, TimeOfDay, Version
from heelwright.declarations import Role
from heelwright.people.rules import EARLIEST_BIRTH, Status
from heelwright.people.times import VisitTimes
from heelwright.places.position import Position
from heelwright.places.roads import Choice as RoadChoice
from heelwright.rulebook.own import MOST_CHARACTERS

Email = Annotated[str, StringConstraints(max_length=254, pattern=r"^$|^[^@\s]+@[^@\s]+\.[^@\s]+$")]
# Plain characters only: others change their length when they are lowered, and look alike.
SignInEmail = Annotated[
    str, StringConstraints(max_length=254, pattern=r"^[!-?A-~]+@[!-?A-~]+\.[!-?A-~]+$")
]


def _of_a_lifetime(too_early: str) -> AfterValidator:
    """A day in the life of somebody who may be a client. Of one that lies ahead the command says
    so."""

    def lived(day: date) -> date:
        if day < EARLIEST_BIRTH:
            raise PydanticCustomError(
                "date_too_early", "too early", {"text": too_early, "remedy": "Check the year."}
            )
        return day

    return AfterValidator(lived)


# In the practice's own words; a technician's hours name theirs.
Skill = Annotated[str, StringConstraints(min_length=1, max_length=60)]
Skills = Annotated[list[Skill], Field(max_length=30)]
Born = Annotated[date, _of_a_lifetime("This date of birth is too long ago.")]
Since = Annotated[date, _of_a_lifetime("This date is too long ago.")]


class RegisterClient(Args):
    client: UUID
    name: Name
    born: Born
    address: Text = ""
    position: Position | None = None
    phone: Line = ""
    email: Email = ""
    facility: UUID | None = None
    room: Line = ""
    corridor: Line = ""
    see_last: bool = False
    contact_name: Line = ""
    contact_phone: Line = ""
    contact_role: Line = ""
    decides_for_self: bool = True
    note: Text = ""
    entry_note: Text = ""
    status: Status = "active"
    status_since: Since | None = None
    visit_times: VisitTimes = []
    preferred_staff: UUID | None = None
    may_wait: bool = False
    needs_skills: Skills = []


class ClientChanges(Args):
    name: Name | None = None
    born: Born | None = None
    address: Text | None = None
    position: Position | None = None
    phone: Line | None = None
    email: Email | None = None
    facility: UUID | None = None
    room: Line | None = None
    corridor: Line | None = None
    see_last: bool | None = None
    contact_name: Line | None = None
    contact_phone: Line | None = None
    contact_role: Line | None = None
    decides_for_self: bool | None = None
    note: Text | None = None
    entry_note: Text | None = None
    status: Status | None = None
    status_since: Since | None = None
    visit_times: VisitTimes | None = None
    preferred_staff: UUID | None = None
    may_wait: bool | None = None
    needs_skills: Skills | None = None

    def given(self) -> dict[str, Any]:
        """Only what was sent, in the form in which a card keeps it."""
        return as_kept(self.model_dump(include=self.model_fields_set))


def as_kept(card: dict[str, Any]) -> dict[str, Any]:
    """A card keeps its dates as text, and whom a client would rather see by their id."""
    kept = {f: v.isoformat() if isinstance(v, date) else v for f, v in card.items()}
    if kept.get("preferred_staff") is not None:
        kept["preferred_staff"] = str(kept["preferred_staff"])
    return kept


class AmendClient(Args):
    client: UUID
    seen: Version
    changes: ClientChanges


class MergeClients(Args):
    """Two cards of one person: the records of `goes` become those of `stays`."""

    stays: UUID
    goes: UUID


class AssignClient(Args):
    client: UUID
    staff: UUID


class QuietTime(Args):
    """Hours of every day, by the clock of the practice; never past midnight."""

    name: Name
    starts: TimeOfDay
    ends: TimeOfDay

    @model_validator(mode="after")
    def _in_order(self) -> "QuietTime":
        if self.ends <= self.starts:
            raise PydanticCustomError(
                "ends_before_start",
                "ends first",
                {
                    "text": "This time ends before it starts.",
                    "remedy": "Check both times.",
                    "field": "ends",
                },
            )
        return self


def _each_once(names: list[str]) -> list[str]:
    if len({name.casefold() for name in names}) < len(names):
        raise PydanticCustomError(
            "named_twice",
            "named twice",
            {"text": "One name is there twice.", "remedy": "Give each a name of its own."},
        )
    return names


QuietTimes = Annotated[list[QuietTime], Field(max_length=12)]
Corridors = Annotated[list[Name], Field(max_length=60), AfterValidator(_each_once)]


class RegisterFacility(Args):
    facility: UUID
    name: Name
    address: Text = ""
    position: Position | None = None
    phone: Line = ""


class FacilityChanges(Args):
    name: Name | None = None
    address: Text | None = None
    position: Position | None = None
    phone: Line | None = None
    quiet_times: QuietTimes | None = None
    corridors: Corridors | None = None


class AmendFacility(Args):
    facility: UUID
    seen: Version
    changes: FacilityChanges


class AssignFacility(Args):
    facility: UUID
    staff: UUID


class RegisterStaff(Args):
    staff: UUID
    name: Name
    email: SignInEmail
    role: Role


class RevokeDevice(Args):
    """With `save_unsent`, the device may still deliver what it has not sent, and nothing else."""

    device: UUID
    save_unsent: bool = False


class AdoptPracticeRules(Args):
    """The practice's own rules, as YAML; empty takes them away. Blanks at its ends count."""

    model_config = ConfigDict(str_strip_whitespace=False)

    text: Annotated[str, StringConstraints(max_length=MOST_CHARACTERS)]


class SetOfflineLease(Args):
    """How many days a phone may show records without a word from the server."""

    days: int = Field(ge=1, le=90)


class ChooseRoads(Args):
    """By what the server knows how long a drive takes. By `service` it tells places to another."""

    roads: RoadChoice


class SetMoney(Args):
    """`tax_on_top`: whether prices are told without the tax, which is then added."""

    currency: Annotated[str, StringConstraints(pattern=r"^[A-Z]{3}$")]
    tax_on_top: bool
