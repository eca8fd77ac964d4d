"""Plain classes in which the areas declare things: refusals, commands, feed kinds, documents.

Nothing here touches the database or knows an area. The areas fill in the declarations; `commandlog`
runs commands, `sync` serves rows, `documents` prints.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Any
from uuid import UUID

from pydantic import BaseModel

if TYPE_CHECKING:
    from django.db.models import Model


class Role(StrEnum):
    """What a member of staff may be in a practice. An owner is a technician who runs it."""

    OWNER = "owner"
    TECHNICIAN = "technician"
    COORDINATOR = "coordinator"


class Power(StrEnum):
    """Whether the server may say no.

    A permission asks and can be refused. A report tells what has happened: it is refused only where
    it can't be understood, and where it should not have happened it is kept and flagged.
    """

    PERMISSION = "permission"
    REPORT = "report"


@dataclass(frozen=True)
class About:
    """The row that a refusal is about, by the kind it has on the feed."""

    kind: str
    id: UUID


class Refused(Exception):
    """A typed no: a stable code for programs, a sentence and a remedy for people, and no data.

    `about` names the row that stands in the way, where there is one.
    """

    def __init__(
        self,
        code: str,
        text: str,
        remedy: str,
        field: str | None = None,
        about: About | None = None,
    ) -> None:
        super().__init__(code)
        self.code = code
        self.text = text
        self.remedy = remedy
        self.field = field
        self.about = about

    def as_dict(self) -> dict[str, str | None]:
        return {
            "code": self.code,
            "field": self.field,
            "text": self.text,
            "remedy": self.remedy,
        }


@dataclass(frozen=True)
class Command:
    """A named, typed, idempotent request to change something; the only way to write.

    `apply(act, args)` carries it out. It sets `act.subject` to the client it is about, under whose
    key the arguments are then sealed; without one the practice's key is taken.
    """

    name: str
    power: Power
    args: type[BaseModel]
    apply: Callable[[Any, Any], None]


@dataclass(frozen=True)
class FeedKind:
    """One kind of row that devices hold.

    `load` gets the ids of one practice's rows and yields (id, row); `row` is the full shape, which
    a role sees in part, by the permission table. `scope` is the id of what one must have access to
    (a client, a facility, a member of staff, or the practice) to see the row. Where two kinds share
    a model, the first one whose `of` says so has the row.
    """

    name: str
    model: type[Model]
    row: type[BaseModel]
    scope: Callable[[Any], UUID]
    load: Callable[[Iterable[UUID]], Iterable[tuple[UUID, BaseModel]]]
    of: Callable[[Any], bool] = lambda _row: True


@dataclass(frozen=True)
class Document:
    """A printable paper: a typst template beside the area, and the data that fills it.

    `fetch(reader, row_id)` returns the data, or raises Refused where the reader may not have it.
    """

    name: str
    template: Path
    fetch: Callable[[Any, UUID], Mapping[str, Any]]


@dataclass(frozen=True)
class Days:
    """A span of days, both ends included."""

    first: date
    last: date


@dataclass(frozen=True)
class Log:
    """What was done in a practice over a span of days: on paper by a typst template, or as a table.

    `fetch(reader, days)` returns the template's data, or raises Refused where the reader may not
    have it. Its `columns` and `rows`, both of texts, are the table.
    """

    name: str
    template: Path
    fetch: Callable[[Any, Days], Mapping[str, Any]]
