"""The shapes of what is agreed to and refused, and of how it was signed."""

from collections.abc import Sequence
from operator import attrgetter
from typing import Annotated, Literal, Self
from uuid import UUID

from pydantic import AfterValidator, BaseModel, ConfigDict, Field, FiniteFloat, model_validator
from pydantic_core import PydanticCustomError

from heelwright.commandlog.wire import Args, ClockTime, Line, Name, Text
from heelwright.rulebook.schema import Purpose

LEAST_POINTS = 3
TEXT, RECORD = attrgetter("text_id"), attrgetter("consent")
Signer = Literal["client", "representative"]
Presented = Literal["read_self", "read_aloud", "large_print"]
TextId = Annotated[str, Field(max_length=60)]
Sha256 = Annotated[str, Field(pattern=r"^[0-9a-f]{64}$")]


class StrokePoint(BaseModel):
    """`x` and `y` in pixels, `t` in milliseconds since 1970 by the phone."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    x: FiniteFloat = Field(ge=-10_000, le=10_000)
    y: FiniteFloat = Field(ge=-10_000, le=10_000)
    t: FiniteFloat = Field(ge=0)


Strokes = Annotated[
    list[Annotated[list[StrokePoint], Field(max_length=5000)]], Field(max_length=300)
]


def drawn(strokes: list[list[StrokePoint]]) -> list[list[StrokePoint]]:
    """Raise where nobody has signed: a brush of the hand is no signature."""
    if sum(len(stroke) for stroke in strokes) < LEAST_POINTS:
        raise _lacking(
            "no_signature", "There is no signature.", "Ask the person to sign in the box."
        )
    return strokes


def _lacking(code: str, text: str, remedy: str) -> PydanticCustomError:
    return PydanticCustomError(code, "lacking", {"text": text, "remedy": remedy})


def _no_authority() -> PydanticCustomError:
    return _lacking(
        "no_authority",
        "It is not said by what right this person decides for the client.",
        "Ask, and write it down with the paper that was seen.",
    )


class SignConsent(Args):
    consent: UUID
    client: UUID
    text_id: TextId
    text_hash: Sha256
    signer_name: Name
    signer_role: Signer
    authority: Line = ""
    witness: Line = ""
    presented: Presented
    own_wish: bool
    strokes: Annotated[Strokes, AfterValidator(drawn)]
    signed_at: ClockTime

    @model_validator(mode="after")
    def somebody_else_says_by_what_right(self) -> Self:
        if self.signer_role == "representative" and not self.authority:
            raise _no_authority()
        return self


class WithdrawConsent(Args):
    consent: UUID
    reason: Text = ""
    withdrawn_at: ClockTime


class SheetText(BaseModel):
    """One text that a client decides on. `consent` is the id of the record that it makes; `purpose`
    is what the phone's book says, and counts no further than the phone."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    consent: UUID
    text_id: TextId
    purpose: Purpose
    version: int = Field(ge=1, lt=2**31)
    text_hash: Sha256


class TextDecision(SheetText):
    """A yes or a no to one text."""

    agreed: bool


class Capacity(BaseModel):
    """What the technician found. None: not asked. The four are those of the Mental Capacity Act
    2005 s.3 (from memory); the law of the place comes first."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    understands: bool | None = None
    keeps: bool | None = None
    weighs: bool | None = None
    says: bool | None = None

    @property
    def able(self) -> bool:
        return all((self.understands, self.keeps, self.weighs, self.says))


class Sitting(Args):
    """Who decides at one sitting, how they sign, and where."""

    sheet: UUID
    client: UUID
    language: Annotated[str, Field(pattern=r"^[a-z]{2,3}$")]
    signer_name: Name
    signer_role: Signer
    ground: Literal["", "guardian", "health_attorney", "facility_record", "other"] = ""
    authority: Line = ""
    capacity: Capacity = Capacity()
    how: str
    witness: Line = ""
    own_wish: bool
    place_kind: Literal["client_home", "facility", "other"]
    place: Line = ""

    @model_validator(mode="after")
    def somebody_else_says_by_what_right(self) -> Self:
        said = self.ground and (self.ground != "other" or self.authority)
        if self.signer_role == "representative" and not said:
            raise _no_authority()
        return self

    @model_validator(mode="after")
    def a_mark_is_seen(self) -> Self:
        if self.how == "mark" and not self.witness:
            raise _lacking(
                "no_witness",
                "A mark needs somebody who saw it made.",
                "Write down the name of the witness.",
            )
        return self


def each_once(texts: Sequence[SheetText]) -> None:
    """Raise where a text, or the id of a record, is on a sheet twice."""
    if any(len({key(one) for one in texts}) < len(texts) for key in (TEXT, RECORD)):
        raise _lacking("twice", "A text is on the sheet twice.", "Begin the sheet again.")


class RecordConsentSheet(Sitting):
    """What was decided at one sitting. A text that was not put to the client is not on it.

    `shown_sha256` is the phone's digest of what was shown, see `shown.py`. `said` is what the
    client said to a no, in their own words.
    """

    decisions: list[TextDecision] = Field(min_length=1, max_length=20)
    how: Literal["drawn", "mark", "paper", "unsigned"]
    strokes: Strokes
    paper_photo: UUID | None = None
    presented: Presented
    said: Text = ""
    device_kind: Literal["technician_phone", "client_phone"] = "technician_phone"
    shown_sha256: Sha256
    decided_at: ClockTime

    @model_validator(mode="after")
    def each_yes_is_signed(self) -> Self:
        if self.how == "unsigned" and any(one.agreed for one in self.decisions):
            raise _lacking(
                "no_signature",
                "There is a yes, and nobody has signed.",
                "Let the person sign, or photograph the paper that they signed.",
            )
        if self.how in ("drawn", "mark"):
            drawn(self.strokes)
        if self.how == "paper" and self.paper_photo is None:
            raise _lacking(
                "no_paper", "The paper is not photographed.", "Take a photo of the signed paper."
            )
        return self

    @model_validator(mode="after")
    def each_text_once(self) -> Self:
        each_once(self.decisions)
        return self


class OfferSigning(Sitting):
    """A sitting on the client's own phone, opened by a link whose secret the server never has.

    `token_sha256` is the SHA-256, in hex, of the 43 letters that the link holds.
    """

    offer: UUID
    token_sha256: Sha256
    texts: list[SheetText] = Field(min_length=1, max_length=20)
    how: Literal["drawn", "mark"]
    offered_at: ClockTime

    @model_validator(mode="after")
    def each_text_once(self) -> Self:
        each_once(self.texts)
        return self


class EndSigning(Args):
    """The technician takes the link back."""

    offer: UUID
    ended_at: ClockTime
