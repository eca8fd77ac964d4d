"""Times of a week as people give them: when somebody works, or is at home for a visit."""

from datetime import date
from typing import Annotated, Self

from pydantic import AfterValidator, Field, model_validator
from pydantic_core import PydanticCustomError

from heelwright.commandlog.wire import Args, TimeOfDay

LONGEST_DAYS = 400

# 0 is Monday.
Weekday = Annotated[int, Field(ge=0, le=6)]


class Span(Args):
    """Hours of one day of the week, by the clock of the practice."""

    weekday: Weekday
    starts: TimeOfDay
    ends: TimeOfDay

    @model_validator(mode="after")
    def ends_later(self) -> Self:
        if self.starts >= self.ends:
            raise _slip(
                "These hours end before they begin.", "Set the end after the start.", "ends"
            )
        return self


def _once_each(spans: list[Span]) -> list[Span]:
    if len({span.weekday for span in spans}) < len(spans):
        raise _slip("A day of the week is there twice.", "Give each day its hours once.")
    return spans


one_each_day = AfterValidator(_once_each)
VisitTimes = Annotated[list[Span], Field(max_length=7), one_each_day]


def ordered(first: date, last: date) -> None:
    """Raise unless the days are a span that somebody can have meant."""
    if not date(2020, 1, 1) <= first <= last < date(2100, 1, 1):
        raise _slip(
            "The last day lies before the first, or too far off.", "Check both days.", "last"
        )
    if (last - first).days > LONGEST_DAYS:
        raise _slip(
            "These days are more than a year.", "Enter a shorter time, or two of them.", "last"
        )


def _slip(text: str, remedy: str, field: str | None = None) -> PydanticCustomError:
    inside = {"field": field} if field else {}
    return PydanticCustomError("wrong_order", "slip", {"text": text, "remedy": remedy, **inside})
