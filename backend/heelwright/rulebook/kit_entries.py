"""The entries of a book that tell of the kit: how tools are made ready, and what is checked when.

The shape only. A book's times are the least that a published text asks for: what the maker of a
machine, a tool or a product asks for comes first, and stands on the machine or the product.
"""

from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from heelwright.rulebook.entry import Id, Sourced, Span

Steriliser = Literal["steam_gravity", "steam_vacuum", "dry_heat"]
MachineKind = Literal["steam_gravity", "steam_vacuum", "dry_heat", "ultrasonic"]
Level = Literal["sterilise", "disinfect"]
Occasion = Literal[
    "before_leaving", "on_arrival", "between_clients", "on_leaving", "end_of_day", "weekly"
]


class Process(Sourced):
    """A cycle of a machine. What a product disinfects by immersion or wiping is none: its label's
    own time counts. `indicator`: a chemical indicator must be read."""

    id: Id
    level: Level
    machine: Steriliser
    wrapped: bool
    celsius: int = Field(gt=0)
    minutes: float = Field(gt=0)
    # The least and the most; none where the maker of the machine alone says it.
    dry_minutes: Span | None = None
    indicator: bool

    @model_validator(mode="after")
    def least_comes_first(self) -> Self:
        if self.dry_minutes is not None and not 0 < self.dry_minutes[0] <= self.dry_minutes[1]:
            raise ValueError("dry_minutes needs the least, more than 0, and then the most")
        return self


class Instrument(Sourced):
    """A kind of tool, and the least that must be done to it before it meets the next client."""

    id: Id
    needs: Literal["sterilise", "disinfect", "single_use"]


class Supply(Sourced):
    """A thing that is used once; how many of it a visit to one client takes. `only_with`: only a
    visit in which a bit was used, or in which nails were worked on."""

    id: Id
    per_visit: int = Field(gt=0)
    only_with: Literal["bits", "nails"] | None = None


class MachineCheck(Sourced):
    """A check of a machine itself. `reaches_back`: one that failed casts doubt on every load since
    the last good one."""

    id: Id
    machines: Annotated[list[MachineKind], Field(min_length=1)]
    every_days: int = Field(gt=0)
    reaches_back: bool


class ChecklistItem(Sourced):
    """One line of a checklist; `only_in` where it is not for homes and facilities alike.
    `just_done`: it is done and no more, with nothing to read, count, time or test, so that it may
    be ticked together with others."""

    id: Id
    occasion: Occasion
    only_in: Literal["home", "facility"] | None = None
    just_done: bool = False
