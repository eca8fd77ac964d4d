"""The shapes of what people type about clients, facilities and staff."""

from datetime import date
from typing import Annotated, Any
from uuid import UUID

from pydantic import AfterValidator, ConfigDict, Field, StringConstraints
from pydantic_core import PydanticCustomError

from heelwright.commandlog.wire import Args, Line, Name, Text, Version
from heelwright.declarations import Role
from heelwright.people.rules import Status
from heelwright.rulebook.own import MOST_CHARACTERS

Email = Annotated[str, StringConstraints(max_length=254, pattern=r"^$|^[^@\s]+@[^@\s]+\.[^@\s]+$")]
# Plain characters only: others change their length when they are lowered, and look alike.
SignInEmail = Annotated[
    str, StringConstraints(max_length=254, pattern=r"^[!-?A-~]+@[!-?A-~]+\.[!-?A-~]+$")
]


def _plausible_birth(born: date) -> date:
    if born < date(1901, 1, 1):
        raise PydanticCustomError(
            "date_too_early",
            "too early",
            {
                "text": "This date of birth is too long ago.",
                "remedy": "Check the year.",
            },
        )
    return born


Born = Annotated[date, AfterValidator(_plausible_birth)]


class RegisterClient(Args):
    client: UUID
    name: Name
    born: Born
    address: Text = ""
    phone: Line = ""
    email: Email = ""
    facility: UUID | None = None
    room: Line = ""
    contact_name: Line = ""
    contact_phone: Line = ""
    contact_role: Line = ""
    decides_for_self: bool = True
    note: Text = ""
    status: Status = "active"
    status_since: date | None = None


class ClientChanges(Args):
    name: Name | None = None
    born: Born | None = None
    address: Text | None = None
    phone: Line | None = None
    email: Email | None = None
    facility: UUID | None = None
    room: Line | None = None
    contact_name: Line | None = None
    contact_phone: Line | None = None
    contact_role: Line | None = None
    decides_for_self: bool | None = None
    note: Text | None = None
    status: Status | None = None
    status_since: date | None = None

    def given(self) -> dict[str, Any]:
        """Only what was sent, in the form in which a card keeps it."""
        return as_kept(self.model_dump(include=self.model_fields_set))


def as_kept(card: dict[str, Any]) -> dict[str, Any]:
    """A card keeps its dates as text."""
    return {f: v.isoformat() if isinstance(v, date) else v for f, v in card.items()}


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


class RegisterFacility(Args):
    facility: UUID
    name: Name
    address: Text = ""
    phone: Line = ""


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
