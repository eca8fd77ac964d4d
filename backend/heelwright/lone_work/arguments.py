"""The shapes of what is told of working alone."""

from typing import Annotated, Literal
from uuid import UUID

from pydantic import Field

from heelwright.commandlog.wire import Args, Day, Line, Moment, Name, Version
from heelwright.people.arguments import SignInEmail

What = Literal["licence", "insurance", "first_aid", "other"]


class StartWatch(Args):
    """Over whoever sends it. `reach_at` is the number to ring them on; `tell_email` is written to
    where they are not back in time."""

    watch: UUID
    back_by: Moment
    reach_at: Line = ""
    tell_name: Name
    tell_email: SignInEmail


class MoveWatch(Args):
    watch: UUID
    back_by: Moment


class EndWatch(Args):
    watch: UUID


class RecordPaper(Args):
    """`staff` is whose it is. `seen` is the version that was read; None for a new one."""

    paper: UUID
    seen: Version | None = None
    staff: UUID
    what: What
    name: Name
    number: Annotated[str, Field(max_length=60)] = ""
    expires_on: Day | None = None


class RemovePaper(Args):
    paper: UUID
