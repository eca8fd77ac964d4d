"""What the invented practice has planned: a repeat, days off, clients' own times, who waits.

All of it was said yesterday evening, after the working hours.
"""

from datetime import date, time, timedelta
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

from heelwright.schedule.rules.repeats import days_of, occurrences
from heelwright.settings.demonstration.course import World
from heelwright.settings.demonstration.diary import MINUTES, SATURDAY, STARTS
from heelwright.settings.demonstration.scenario import Client, Wait

EVENING = time(19, 40)
WEEKDAYS = ("MO", "TU", "WE", "TH", "FR")


def ahead(world: World) -> None:
    """After `live`. The last start of a day is free: no day is full."""
    cards = {
        sent.args["name"]: sent.args["client"]
        for sent in world.log.sent
        if sent.name == "register_client"
    }
    _days_off(world)
    for client in world.scenario.clients:
        id_ = cards[client.name]
        if client.visit_times:
            changes = {"visit_times": [span.model_dump() for span in client.visit_times]}
            _say(world, client.technician, "amend_client", client=id_, seen=0, changes=changes)
        if client.repeat:
            _repeat(world, client, id_)
        if client.waits:
            _waits(world, client, id_, client.waits)


def _say(world: World, who: str, name: str, /, **args: Any) -> None:
    world.log.say(who, world.diary.at(world.today - timedelta(days=1), EVENING), name, **args)


def _new_id(world: World) -> UUID:
    return world.log.new_id(world.diary.at(world.today - timedelta(days=1), EVENING))


def _workday(world: World, days: int) -> date:
    """So many days from today, or the Monday after."""
    day = world.today + timedelta(days=days)
    return day if day.weekday() < SATURDAY else day + timedelta(days=7 - day.weekday())


def _days_off(world: World) -> None:
    practice = world.scenario.practice
    for one in practice.days_off:
        first = _workday(world, one.first)
        told: dict[str, Any] = {
            "time_off": _new_id(world),
            "staff": one.who and world.staff[one.who],
        }
        told |= {"first": first, "last": first + timedelta(days=one.days - 1), "name": one.name}
        _say(world, one.who or practice.owner, "add_time_off", **told)


def _repeat(world: World, client: Client, id_: UUID) -> None:
    weeks = world.scenario.kinds[client.kind].weeks
    first, clock = _workday(world, weeks * 7), STARTS[-1]
    rule = f"FREQ=WEEKLY;INTERVAL={weeks};BYDAY={WEEKDAYS[first.weekday()]};COUNT={client.repeat}"
    series = _new_id(world)
    zone = ZoneInfo(world.scenario.practice.zone)
    made = occurrences(series, days_of(rule, first), [], clock, zone)
    told: dict[str, Any] = {
        "series": series,
        "client": id_,
        "staff": world.staff[client.technician],
    }
    told |= {"first": first, "clock": f"{clock:%H:%M}", "rule": rule, "minutes": MINUTES}
    visits = [{"booking": each.booking, "starts_at": each.starts_at} for each in made]
    told |= {"visits": visits, "place": "home", "service": "foot_care"}
    _say(world, client.technician, "book_series", **told)


def _waits(world: World, client: Client, id_: UUID, waits: Wait) -> None:
    since = world.diary.at(world.today - timedelta(days=waits.since), EVENING)
    told: dict[str, Any] = {"waiting": world.log.new_id(since), "client": id_, "since": since}
    told |= {"first": world.today + timedelta(days=waits.first)}
    told |= {"last": waits.last and world.today + timedelta(days=waits.last)}
    told |= {"times": [span.model_dump() for span in waits.times], "minutes": MINUTES}
    told |= {"staff": world.staff[client.technician], "note": waits.note}
    world.log.say(client.technician, since, "wait_for_visit", **told)
