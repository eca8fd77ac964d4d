"""What speaks against visits where they are to stand."""

from collections.abc import Collection, Sequence

from heelwright.commandlog.act import Act
from heelwright.declarations import About, Refused, Role
from heelwright.intake.may_read import day_of
from heelwright.schedule.models import Booking
from heelwright.schedule.rules.objections import Code, objections
from heelwright.schedule.surroundings import Surroundings

WORDS: dict[Code, str] = {
    "day_off": "That is a day off.",
    "outside_hours": "That is outside of the technician's hours.",
    "in_break": "Nothing is left of the technician's break then.",
    "short_travel": "Between this visit and the next to it is less time than the way takes.",
    "too_late": "The visit is overdue by then: at the last one it was said to be due earlier.",
    "client_not_free": "By the card, the client is not to be visited then.",
}
# The weeks until a visit follow from what was found, and where other clients live is not theirs.
NOT_TOLD_COORDINATORS: tuple[Code, ...] = ("too_late", "short_travel")


def nothing_against(act: Act, bookings: Sequence[Booking], meant: Collection[str]) -> None:
    """Raise Refused for the first objection that is not among those that a person means."""
    passed = {*meant, *(NOT_TOLD_COORDINATORS if act.role is Role.COORDINATOR else ())}
    surroundings = Surroundings(act, bookings)
    days = {surroundings.asked(booking).day for booking in bookings}
    for booking in bookings:
        asked = surroundings.asked(booking)
        for code in objections(asked, surroundings.around(booking)):
            if code not in passed:
                # Of several days, the day says which of them is meant.
                day = day_of(asked.day, ": ") if len(days) > 1 else ""
                raise Refused(
                    code,
                    f"{day}{WORDS[code]}",
                    "Choose another time, or say that you mean it.",
                    field="starts_at",
                    about=About("booking", booking.pk),
                )
