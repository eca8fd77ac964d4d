"""The entries of a book that tell what a visit is booked for. The shape only."""

from pydantic import Field

from heelwright.rulebook.entry import Id, Sourced


class Service(Sourced):
    """`minutes` count until a client's own visits tell. `for_new`: what is proposed for who has had
    no visit yet; for anybody else, it is the first in the list."""

    id: Id
    minutes: int = Field(ge=5, le=480)
    for_new: bool = False
