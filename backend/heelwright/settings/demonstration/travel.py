"""What the technicians of the invented practice drove in the last six weeks, as they told of it."""

from collections import defaultdict
from collections.abc import Iterator
from datetime import date, time, timedelta
from typing import Any
from uuid import UUID

from heelwright.settings.demonstration.course import World
from heelwright.settings.demonstration.log import Sent

SINCE_DAYS = 42
MORNING, EVENING = time(7, 15), time(18, 40)
NEAR, FAR = 12, 94  # tenths of a mile


def travel(world: World) -> None:
    """After `work_with_kit`. The last day is left to be told; on the one before, one way is a
    guess."""
    since = world.today - timedelta(days=SINCE_DAYS)
    where = dict(_places(world))
    visits: dict[str, dict[date, list[Sent]]] = defaultdict(lambda: defaultdict(list))
    for one in sorted(world.log.sent, key=lambda sent: sent.at):
        if one.name == "complete_visit" and one.at.date() > since:
            visits[one.staff][one.at.date()].append(one)
    for who, vehicle in world.scenario.practice.vehicles.items():
        at = world.diary.at(since, MORNING)
        id_ = world.log.new_id(at)
        world.log.say(who, at, "register_vehicle", vehicle=id_, **vehicle.model_dump())
        reading, days = 412_300, sorted(visits[who])[:-1]
        for day in days:
            stops = [where[one.args["client"]] for one in visits[who][day]]
            legs = list(_legs(world, stops))
            end = reading + sum(leg["tenths"] for leg in legs)
            if day == days[-1]:
                legs[-1] |= {"known": "estimate"}
            _tell(world, who, day, vehicle=id_, odometer_start=reading, odometer_end=end, legs=legs)
            reading = end + world.log.chance.randint(0, 60)


def _tell(world: World, who: str, day: date, /, **told: Any) -> None:
    at = world.diary.at(day, EVENING)
    world.log.say(who, at, "record_travel", travel=world.log.new_id(at), day=day, **told)


def _places(world: World) -> Iterator[tuple[UUID, tuple[str, str]]]:
    """Of each client where they live, as the log calls it, and what one goes there for."""
    houses: dict[UUID | None, str] = {id_: key for key, id_ in world.facilities.items()}
    for one in world.log.sent:
        if one.name == "register_client":
            house = houses.get(one.args.get("facility"))
            if house is None:
                yield one.args["client"], (one.args["address"], "client")
            else:
                name = world.scenario.practice.facilities[house].name
                yield one.args["client"], (name, "facility")


def _legs(world: World, stops: list[tuple[str, str]]) -> Iterator[dict[str, Any]]:
    """Visits one after another in one house are one stop."""
    places = [stop for n, stop in enumerate(stops) if n == 0 or stop != stops[n - 1]]
    ends = [*places, ("Home", places[-1][1])]
    for start, (end, purpose) in zip(["Home", *(place for place, _ in places)], ends, strict=True):
        tenths = world.log.chance.randint(NEAR, FAR)
        way = {"start": start, "end": end, "purpose": purpose}
        yield way | {"tenths": tenths, "known": "odometer"}
