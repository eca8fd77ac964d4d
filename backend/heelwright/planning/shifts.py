"""The days on which technicians work, as shifts: by their hours, without the days off."""

from collections.abc import Callable, Sequence
from datetime import date, datetime, time, timedelta
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

from heelwright.planning.asking import PlanAsked
from heelwright.planning.rules.fortnight import Shift
from heelwright.planning.rules.problem import Break
from heelwright.schedule.models import Base, TimeOff, WorkingWeek
from heelwright.tenancy.models import Practice

GRID_S = 300

# The place of a position, None where there is none.
Place = Callable[[Any], int | None]
Whose = tuple[UUID, date]


class Calendar:
    """Moments by the clock on a practice's wall, as seconds."""

    def __init__(self, practice: Practice, now: datetime) -> None:
        self.practice, self.now = practice, now
        self.zone = ZoneInfo(practice.zone)
        self.today = self.day_of(now)

    def day_of(self, moment: datetime) -> date:
        return moment.astimezone(self.zone).date()

    def moment(self, day: date) -> datetime:
        return datetime.combine(day, time(), self.zone)

    def at(self, day: date, clock: str) -> int:
        return epoch(datetime.combine(day, time.fromisoformat(clock), self.zone))

    def midnight(self, day: date) -> int:
        return self.at(day, "00:00")

    def spans(self, day: date, spans: Sequence[Any]) -> list[tuple[int, int]]:
        return [(self.at(day, span["starts"]), self.at(day, span["ends"])) for span in spans]


def epoch(at: datetime) -> int:
    return int(at.timestamp())


def days_of(asked: PlanAsked) -> list[date]:
    return [asked.first + timedelta(n) for n in range((asked.last - asked.first).days + 1)]


def shifts_of(calendar: Calendar, asked: PlanAsked, place: Place) -> list[tuple[Whose, Shift]]:
    weeks = WorkingWeek.objects.in_bulk(asked.staff)
    over = TimeOff.objects.filter(practice=calendar.practice, last__gte=asked.first)
    off = list(over.filter(first__lte=asked.last))
    homes = {base.pk: base.position for base in Base.objects.filter(pk__in=asked.staff)}
    found = []
    for day in days_of(asked):
        for staff in asked.staff:
            theirs = [t for t in off if t.staff_id in (None, staff)]
            hours = _hours(weeks.get(staff), day)
            if hours is None or any(t.first <= day <= t.last for t in theirs):
                continue
            skills = frozenset(weeks[staff].skills)
            shift = _shift(calendar, staff, day, hours, place(homes.get(staff)), skills)
            if shift.begins < shift.ends:
                found.append(((staff, day), shift))
    return found


def _hours(week: WorkingWeek | None, day: date) -> Any:
    theirs = week.days if week else []
    return next((hours for hours in theirs if hours["weekday"] == day.weekday()), None)


def _shift(
    calendar: Calendar,
    staff: UUID,
    day: date,
    hours: Any,
    home: int | None,
    skills: frozenset[str],
) -> Shift:
    """Of today what is left, without the breaks whose time is past. `latest` is by when a break of
    the working week is over."""
    soonest = -(-epoch(calendar.now) // GRID_S) * GRID_S
    begins = max(calendar.at(day, hours["starts"]), soonest)
    pauses = [
        Break(
            calendar.at(day, pause["earliest"]),
            calendar.at(day, pause["latest"]) - pause["minutes"] * 60,
            pause["minutes"] * 60,
        )
        for pause in sorted(hours["breaks"], key=lambda pause: pause["earliest"])
    ]
    return Shift(
        staff=str(staff),
        midnight=calendar.midnight(day),
        begins=begins,
        ends=calendar.at(day, hours["ends"]),
        start=home,
        end=home,
        breaks=tuple(pause for pause in pauses if pause.latest >= begins),
        skills=skills,
    )
