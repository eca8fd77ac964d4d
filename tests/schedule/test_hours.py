"""Hours, days off and a client's own times: what speaks against a booking is refused unless it is
meant. Check: our own rule. Days of the week: the Gregorian calendar; 2027-07-05 is a Monday, and
London is an hour ahead of UTC on it (IANA zone database)."""

from typing import Any

import pytest

from heelwright.schedule.models import Booking, TimeOff, WorkingWeek
from tests.factories import booking_args, ident
from tests.sync.phone_model import fresh
from tests.world import Hand, World

MONDAY = {"weekday": 0, "starts": "09:00", "ends": "17:00"}
LUNCH = {"earliest": "12:00", "latest": "13:00", "minutes": 30}


def week(hand: Hand, *days: dict[str, Any], **more: Any) -> dict[str, Any]:
    return {"staff": hand.id, "seen": 10_000, "days": list(days), **more}


def off(staff: str | None, first: str, last: str) -> dict[str, Any]:
    return {"time_off": ident(), "staff": staff, "first": first, "last": last}


def asked(world: World, starts_at: str, **more: Any) -> dict[str, Any]:
    given = {"client": world.client, "staff": world.technician.id, "minutes": 45}
    return booking_args(starts_at=starts_at, **given, **more)


@pytest.mark.parametrize(
    ("starts_at", "code"),
    [
        ("2027-07-05T08:00:00Z", None),
        ("2027-07-05T07:59:00Z", "outside_hours"),
        ("2027-07-05T15:15:00Z", None),
        ("2027-07-05T15:16:00Z", "outside_hours"),
        ("2027-07-05T11:05:00Z", "in_break"),
        ("2027-07-06T09:00:00Z", "outside_hours"),
    ],
)
def test_hours_are_those_of_the_clock_in_the_practice(
    world: World, starts_at: str, code: str | None
) -> None:
    technician = world.technician
    technician.do("set_working_week", week(technician, {**MONDAY, "breaks": [LUNCH]}))
    args = asked(world, starts_at)
    if code is None:
        technician.do("book_visit", args)
        return
    assert technician.no("book_visit", args) == code
    assert not Booking.objects.filter(pk=args["booking"]).exists()
    technician.do("book_visit", {**args, "meant": [code]})


def test_the_hours_of_a_day_in_winter_are_the_same_on_the_wall(world: World) -> None:
    """2027-01-04 is a Monday, and London is at UTC on it."""
    technician = world.technician
    technician.do("set_working_week", week(technician, MONDAY))
    technician.do("book_visit", asked(world, "2027-01-04T09:00:00Z"))
    assert technician.no("book_visit", asked(world, "2027-01-04T08:00:00Z")) == "outside_hours"


@pytest.mark.parametrize("whose", ["technician", "practice", "colleague"])
def test_a_day_off_is_ones_own_or_the_practices(world: World, whose: str) -> None:
    staff = {"technician": world.technician.id, "colleague": world.colleague.id, "practice": None}
    world.owner.do("add_time_off", off(staff[whose], "2027-07-05", "2027-07-06"))
    args = asked(world, "2027-07-05T22:59:00Z", meant=["outside_hours", "in_break"])
    if whose == "colleague":
        world.technician.do("book_visit", args)
    else:
        assert world.technician.no("book_visit", args) == "day_off"
    # An hour later it is the sixth in London, and two hours later the seventh in UTC is not.
    later = asked(world, "2027-07-06T23:01:00Z")
    world.technician.do("book_visit", later)


def test_a_removed_day_off_is_gone_everywhere(world: World) -> None:
    days = off(world.technician.id, "2027-07-05", "2027-07-05")
    world.technician.do("add_time_off", days)
    phone = fresh(world.colleague)
    world.technician.do("remove_time_off", {"time_off": days["time_off"]})
    assert phone.sync().rows == fresh(world.colleague).rows
    assert not TimeOff.objects.exists()
    world.technician.do("book_visit", asked(world, "2027-07-05T09:00:00Z"))
    gone = {"time_off": days["time_off"]}
    assert world.technician.no("remove_time_off", gone) == "not_found"


def test_when_a_client_is_to_be_visited_is_on_the_card(world: World) -> None:
    technician = world.technician
    changes = {"visit_times": [MONDAY]}
    technician.do("amend_client", {"client": world.client, "seen": 10_000, "changes": changes})
    technician.do("book_visit", asked(world, "2027-07-05T09:00:00Z"))
    assert technician.no("book_visit", asked(world, "2027-07-05T16:00:00Z")) == "client_not_free"


def test_a_move_and_an_arrangement_are_asked_about_as_well(world: World) -> None:
    technician = world.technician
    technician.do("set_working_week", week(technician, MONDAY))
    args = asked(world, "2027-07-05T09:00:00Z")
    technician.do("book_visit", args)
    moved = {name: args[name] for name in ("booking", "minutes", "staff")}
    moved |= {"seen": 10_000, "starts_at": "2027-07-05T18:00:00Z"}
    assert technician.no("move_booking", moved) == "outside_hours"
    technician.do("move_booking", {**moved, "meant": ["outside_hours"]})
    both = [asked(world, f"2027-07-05T{hour}:00:00Z") for hour in ("08", "19")]
    assert technician.no("arrange_visits", {"visits": both}) == "outside_hours"
    assert Booking.objects.count() == 1
    technician.do("arrange_visits", {"visits": both, "meant": ["outside_hours"]})


@pytest.mark.parametrize(
    ("second", "says"),
    [
        ("2027-07-06T10:00:00Z", "That is outside of the technician's hours."),
        ("2027-07-12T10:00:00Z", "6 July 2027: That is outside of the technician's hours."),
    ],
)
def test_a_refusal_of_several_says_the_day_where_there_are_several(
    world: World, second: str, says: str
) -> None:
    world.technician.do("set_working_week", week(world.technician, MONDAY))
    both = [asked(world, "2027-07-06T08:00:00Z"), asked(world, second)]
    refusal = world.technician.send("arrange_visits", {"visits": both}).refusal
    assert refusal is not None and refusal.text == says


def test_a_break_is_judged_by_where_all_stand(world: World) -> None:
    """Two visits that leave room for the break one by one, and not together."""
    technician = world.technician
    technician.do("set_working_week", week(technician, {**MONDAY, "breaks": [LUNCH]}))
    first = asked(world, "2027-07-05T10:25:00Z")
    second = asked(world, "2027-07-05T11:35:00Z")
    assert technician.no("arrange_visits", {"visits": [first, second]}) == "in_break"
    technician.do("arrange_visits", {"visits": [second]})


@pytest.mark.parametrize("who", ["technician", "colleague", "owner"])
def test_hours_and_days_off_are_set_by_oneself_or_an_owner(world: World, who: str) -> None:
    hand = world.hands[who]
    days = off(world.technician.id, "2027-07-05", "2027-07-05")
    everybody = off(None, "2027-07-05", "2027-07-05")
    if who == "colleague":
        assert hand.no("set_working_week", week(world.technician, MONDAY)) == "not_yours"
        assert hand.no("add_time_off", days) == "not_yours"
    else:
        hand.do("set_working_week", week(world.technician, MONDAY))
        hand.do("add_time_off", days)
    if who == "owner":
        hand.do("add_time_off", everybody)
    else:
        assert hand.no("add_time_off", everybody) == "not_yours"


def base(hand: Hand, seen: int = 10_000, **position: object) -> dict[str, object]:
    here = {"lat": 51.5, "lon": -0.12, "source": "typed", "accuracy_m": None}
    return {"staff": hand.id, "seen": seen, "position": here | position}


def test_a_base_is_seen_by_whose_it_is_and_an_owner_alone(world: World) -> None:
    technician = world.technician
    technician.do("set_base", base(technician))
    assert world.hands["colleague"].no("set_base", base(technician)) == "not_yours"
    for who, sees in {"technician": 1, "owner": 1, "colleague": 0, "coordinator": 0}.items():
        assert len(fresh(world.hands[who]).of("base")) == sees, who


def test_a_base_that_somebody_else_changed_since_and_one_that_is_nowhere(world: World) -> None:
    technician = world.technician
    technician.do("set_base", base(technician))
    world.owner.do("set_base", base(technician, lat=51.6))
    assert technician.no("set_base", base(technician, seen=1)) == "changed_elsewhere"
    technician.do("set_base", base(technician) | {"position": None})
    refusal = technician.send("set_base", base(technician, lat=91)).refusal
    assert refusal is not None
    assert refusal.field == "position.lat"


def test_hours_that_somebody_else_changed_since(world: World) -> None:
    technician = world.technician
    technician.do("set_working_week", week(technician, MONDAY))
    world.owner.do("set_working_week", week(technician))
    assert technician.no("set_working_week", week(technician, MONDAY, seen=1)) == (
        "changed_elsewhere"
    )


@pytest.mark.parametrize(
    ("day", "field"),
    [
        ({**MONDAY, "ends": "09:00"}, "days.0.ends"),
        ({**MONDAY, "starts": "24:00"}, "days.0.starts"),
        ({**MONDAY, "weekday": 7}, "days.0.weekday"),
        ({**MONDAY, "breaks": [{**LUNCH, "minutes": 61}]}, "days.0.breaks.0.latest"),
    ],
)
def test_hours_that_cannot_be_are_named(world: World, day: dict[str, Any], field: str) -> None:
    technician = world.technician
    refusal = technician.send("set_working_week", week(technician, day)).refusal
    assert refusal is not None
    assert refusal.field == field
    assert not WorkingWeek.objects.exists()


def test_a_day_of_the_week_is_there_once(world: World) -> None:
    technician = world.technician
    assert technician.no("set_working_week", week(technician, MONDAY, MONDAY)) == "wrong_order"


def test_what_a_coordinator_sees_of_it(world: World) -> None:
    """When a technician works and is away; not what for, nor what they can do."""
    technician = world.technician
    technician.do("set_working_week", week(technician, MONDAY, skills=["Wraps"]))
    technician.do("add_time_off", off(technician.id, "2027-07-05", "2027-07-05") | {"name": "Ill"})
    phone = fresh(world.coordinator)
    assert [set(row) for row in phone.of("working_week").values()] == [{"id", "days"}]
    assert [set(row) for row in phone.of("time_off").values()] == [{"id", "staff", "first", "last"}]


def test_too_late_after_the_last_visit(world: World) -> None:
    """After six weeks five days more are in time, the whole ones in an eighth of 42. A coordinator
    is not told: the weeks follow from what was found."""
    technician = world.technician
    start = technician.ready(world.resident)
    technician.do("complete_visit", technician.done(start, weeks_until_next=6))
    days = [technician.stamp(days=days) for days in (47, 48, 49)]
    args = [booking_args(client=world.resident, staff=technician.id, starts_at=day) for day in days]
    assert technician.no("book_visit", args[1]) == "too_late"
    world.coordinator.do("book_visit", args[1])
    technician.do("book_visit", args[0])
    # The visit after another one may be as late as that one is.
    technician.do("book_visit", args[2])


def test_a_late_visit_moves_on_its_day_and_to_an_earlier_one_unasked(world: World) -> None:
    technician = world.technician
    start = technician.ready(world.resident)
    technician.do("complete_visit", technician.done(start, weeks_until_next=6))
    late = booking_args(
        client=world.resident, staff=technician.id, starts_at=technician.stamp(days=60)
    )
    technician.do("book_visit", {**late, "meant": ["too_late"]})
    moved = {name: late[name] for name in ("booking", "minutes", "staff")} | {"seen": 10_000}
    for days, minutes in ((60, 30), (59, 0)):
        at = technician.stamp(days=days, minutes=minutes)
        technician.do("move_booking", {**moved, "starts_at": at})
    later = {**moved, "starts_at": technician.stamp(days=61)}
    assert technician.no("move_booking", later) == "too_late"


@pytest.mark.parametrize(("first", "last"), [(2, 1), (1, 900)])
def test_days_off_that_are_no_span_name_the_day_to_change(
    world: World, first: int, last: int
) -> None:
    hand = world.technician
    days = {"first": hand.day(days=first), "last": hand.day(days=last)}
    refusal = hand.send("add_time_off", {"time_off": ident(), "staff": hand.id, **days}).refusal
    assert refusal is not None
    assert (refusal.code, refusal.field) == ("wrong_order", "last")
