"""When those of the invented practice work who make visits, and from where."""

from datetime import time, timedelta

from heelwright.settings.demonstration.course import World

EVENING = time(18, 45)
LUNCH = {"earliest": "12:30", "latest": "13:30", "minutes": 30}
WEEKDAYS = range(5)


def hours(world: World) -> None:
    """Said yesterday: what was booked before was booked without them."""
    at = world.diary.at(world.today - timedelta(days=1), EVENING)
    days = [
        {"weekday": day, "starts": "08:30", "ends": "17:30", "breaks": [LUNCH]} for day in WEEKDAYS
    ]
    for who, base in world.scenario.practice.bases.items():
        staff = world.staff[who]
        world.log.say(who, at, "set_working_week", staff=staff, seen=0, days=days, skills=[])
        position = base.model_dump(mode="json")
        world.log.say(who, at, "set_base", staff=staff, seen=0, position=position)
