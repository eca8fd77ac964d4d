"""What every entry of a book is: strict and frozen, and mostly with its source and its basis."""

from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field

Id = Annotated[str, Field(pattern=r"^[a-z][a-z0-9_]+$", max_length=60)]
Text = Annotated[str, Field(min_length=1, max_length=4000)]
Basis = Literal["published", "published_secondary", "common_practice", "from_memory"]
Span = Annotated[list[float], Field(min_length=2, max_length=2)]


class Entry(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True, strict=True)


class Sourced(Entry):
    source: Text
    basis: Basis
