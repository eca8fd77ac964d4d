"""The shapes of a photo's record and of its removal."""

from typing import Annotated, Literal
from uuid import UUID

from pydantic import Field, StringConstraints

from heelwright.commandlog.wire import Args, ClockTime, Text
from heelwright.photos.rules import LONGEST_SIDE, MOST_BYTES

Purpose = Literal["before", "after", "finding", "paper_consent", "clearance_evidence", "mishap"]
Sha256 = Annotated[str, StringConstraints(pattern=r"^[0-9a-f]{64}$")]
Side = Annotated[int, Field(ge=1, le=LONGEST_SIDE)]


class RecordPhoto(Args):
    """`about` is what it belongs to, of any kind: a visit, a foot check, a clearance. `sha256` and
    `bytes` are of the picture, which comes afterwards; width and height in pixels."""

    photo: UUID
    client: UUID
    purpose: Purpose
    about: UUID | None = None
    taken_at: ClockTime
    sha256: Sha256
    bytes: int = Field(ge=1, le=MOST_BYTES)
    width: Side
    height: Side
    foot: Literal["left", "right"] | None = None
    view: Literal["top", "sole"] | None = None


class RemovePhoto(Args):
    photo: UUID
    reason: Text = Field(min_length=1)
