"""The rounds of the invented practice: one that is over, and the next one."""

from collections.abc import Mapping
from datetime import date, time, timedelta
from typing import Any
from uuid import UUID

from heelwright.settings.demonstration.course import World
from heelwright.settings.demonstration.diary import MINUTES
from heelwright.settings.demonstration.log import Sent
from heelwright.settings.demonstration.scenario import Round

PLANNED, CLOSED = time(16), time(18, 20)
NOT_SEEN = timedelta(minutes=10)
AHEAD = timedelta(days=2)


def rounds(world: World) -> None:
    """After `live`: what it booked one by one is planned as rounds, by the coordinators."""
    for one in world.scenario.practice.rounds:
        lives = _residents(world, one)
        there = [sent for sent in world.log.sent if sent.args.get("client") in lives.values()]
        booked = [sent for sent in there if sent.name == "book_visit"]
        days = sorted({_day(sent) for sent in booked})
        over = [day for day in days if day < world.today][-1:]
        for day in over if one.over else [day for day in days if day > world.today][:1]:
            _round(world, one, day, [sent for sent in booked if _day(sent) == day], lives)


def _residents(world: World, one: Round) -> dict[str, UUID]:
    house = world.facilities[one.facility]
    cards = (sent.args for sent in world.log.sent if sent.name == "register_client")
    return {card["name"]: card["client"] for card in cards if card.get("facility") == house}


def _day(booked: Sent) -> date:
    """No visit is near midnight."""
    day: date = booked.args["starts_at"].date()
    return day


def _round(
    world: World, one: Round, day: date, stops: list[Sent], lives: Mapping[str, UUID]
) -> None:
    house = world.scenario.practice.facilities[one.facility]
    at = world.diary.at(min(day, world.today + timedelta(days=1)) - AHEAD, PLANNED)
    world.log.sent = [sent for sent in world.log.sent if sent not in stops]
    visits = [{k: v for k, v in sent.args.items() if k != "meant"} for sent in stops]
    missed = [
        _missed(world, house.technician, day, lives[name], code)
        for name, code in one.not_seen.items()
    ]
    id_ = world.log.new_id(at)
    told: dict[str, Any] = {"round": id_, "facility": world.facilities[one.facility], "day": day}
    told |= {"note": one.note, "visits": [*visits, *missed], "meant": ["too_late", "short_travel"]}
    world.log.say(house.coordinator, at, "plan_round", **told)
    if one.over:
        closed = world.diary.at(day, CLOSED)
        world.log.say(house.coordinator, closed, "close_round", round=id_, seen=0)


def _missed(world: World, who: str, day: date, client: UUID, code: str) -> dict[str, Any]:
    starts = world.diary.take(who, day)
    visit: dict[str, Any] = {
        "booking": world.log.new_id(starts),
        "client": client,
        "staff": world.staff[who],
    }
    told: dict[str, Any] = {"booking": visit["booking"], "code": code, "reason": ""}
    world.log.say(who, starts + NOT_SEEN, "record_not_seen", **told)
    visit |= {"starts_at": starts, "minutes": MINUTES, "place": "facility"}
    return visit | {"service": "foot_care"}
