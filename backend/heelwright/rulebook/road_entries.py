"""The entries of a book by which a drive is guessed from the straight line. The shape only."""

from pydantic import Field

from heelwright.rulebook.entry import Id, Sourced


class RoadFactor(Sourced):
    """The length of a drive in percent of the straight line."""

    id: Id
    percent: int = Field(ge=100, le=300)


class RoadSpeed(Sourced):
    """How fast the part of a drive goes that lies before `up_to_m`; without it, all that is
    left."""

    id: Id
    up_to_m: int | None = Field(gt=0)
    km_h: int = Field(ge=5, le=130)
