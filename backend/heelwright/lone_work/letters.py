"""What somebody is written who was named as the one to tell. No client and no place is in it: the
mail goes where nobody here can follow it."""

from dataclasses import dataclass
from zoneinfo import ZoneInfo

from heelwright.lone_work.models import Watch
from heelwright.people.books import book_of


@dataclass(frozen=True)
class Letter:
    to: str
    subject: str
    text: str


def alarm(watch: Watch) -> Letter:
    name, practice = watch.staff.name, watch.practice.name
    reach = f"Ring them: {watch.reach_at}.\n" if watch.reach_at else "Ring them.\n"
    number = book_of(watch.practice).content.emergency_number
    danger = f"ring {number}" if number else "ring the emergency number"
    return Letter(
        watch.tell_email,
        f"{name} has not checked in",
        f"{name} works alone for {practice}, was expected back by {_clock(watch)}, and has not "
        f"checked in.\n\n{reach}"
        f"If you cannot reach them, ring {practice}: {watch.practice.reply_to}\n"
        f"If you believe that they are in danger, {danger}.\n\n"
        f"{watch.tell_name}, you get this because {name} named you as the one to tell.\n",
    )


def all_clear(watch: Watch) -> Letter:
    name = watch.staff.name
    return Letter(
        watch.tell_email,
        f"{name} has checked in",
        f"{name} has checked in. You need not do anything more.\n",
    )


def _clock(watch: Watch) -> str:
    return f"{watch.back_by.astimezone(ZoneInfo(watch.practice.zone)):%H:%M on %d %B}"
