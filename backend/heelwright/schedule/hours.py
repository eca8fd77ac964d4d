"""When technicians work, and from where: their weeks, the days on which they do not, their base."""

from uuid import UUID

from heelwright.commandlog.act import Act, fresh_id
from heelwright.commandlog.registry import command
from heelwright.commandlog.seen import still_as_seen
from heelwright.declarations import Power, Refused, Role
from heelwright.schedule.arguments import AddTimeOff, RemoveTimeOff, SetBase, SetWorkingWeek
from heelwright.schedule.diary import technician
from heelwright.schedule.models import Base, TimeOff, WorkingWeek


@command(Power.PERMISSION, SetWorkingWeek)
def set_working_week(act: Act, args: SetWorkingWeek) -> None:
    staff = technician(act, args.staff)
    _own_or_owner(act, staff.pk)
    week = WorkingWeek.objects.filter(pk=staff.pk).first()
    if week is not None:
        still_as_seen(act, week, args.seen, "working week", "staff")
    week = week or WorkingWeek(id=staff.pk, practice=act.practice)
    days = sorted(args.days, key=lambda day: day.weekday)
    week.days = [day.model_dump(mode="json") for day in days]
    week.skills = sorted(set(args.skills))
    act.put(week)


@command(Power.PERMISSION, SetBase)
def set_base(act: Act, args: SetBase) -> None:
    staff = technician(act, args.staff)
    _own_or_owner(act, staff.pk)
    base = Base.objects.filter(pk=staff.pk).first()
    if base is not None:
        still_as_seen(act, base, args.seen, "place", "staff")
    base = base or Base(id=staff.pk, practice=act.practice)
    base.position = args.position.model_dump(mode="json") if args.position else None
    act.put(base)


@command(Power.PERMISSION, AddTimeOff)
def add_time_off(act: Act, args: AddTimeOff) -> None:
    fresh_id(TimeOff, args.time_off, "time_off")
    staff = technician(act, args.staff) if args.staff else None
    _own_or_owner(act, args.staff)
    act.put(
        TimeOff(
            id=args.time_off,
            practice=act.practice,
            staff=staff,
            first=args.first,
            last=args.last,
            name=args.name,
        )
    )


@command(Power.PERMISSION, RemoveTimeOff)
def remove_time_off(act: Act, args: RemoveTimeOff) -> None:
    days = TimeOff.objects.filter(practice=act.practice, pk=args.time_off).first()
    if days is None:
        raise Refused(
            "not_found",
            "These days were not found.",
            "Sync. If they still show, remove them again.",
            field="time_off",
        )
    _own_or_owner(act, days.staff_id)
    act.remove(days)


def _own_or_owner(act: Act, staff: UUID | None) -> None:
    if act.role is not Role.OWNER and staff != act.staff.pk:
        raise Refused(
            "not_yours",
            "Only an owner sets the hours, days off and base of others.",
            "Ask an owner of your practice.",
            field="staff",
        )
