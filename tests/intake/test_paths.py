"""Each hold against each path past it, through the real write path (docs/no-way-past.md).

Permission is refused with its code, what happened is kept as it was typed, under review and told to
the owner, and the visit never counts. Check: the project's own safety rule, no source.
"""

import copy
from datetime import timedelta
from typing import Any
from uuid import UUID

import pytest

from heelwright.commandlog.models import Incident, LoggedArgs
from heelwright.intake.models import FootCheck
from heelwright.rulebook import book_for
from heelwright.schedule.models import Booking
from heelwright.visits.arguments import CompleteVisit
from heelwright.visits.models import Visit
from tests.factories import GOOD_FEET
from tests.intake.holds import HOLDS, Held, Hold, at_the_door
from tests.intake.paths import Args, Path, feet_again, paths_for, screen_again
from tests.intake.test_no_way_past import undone
from tests.sync.old_apps.frozen import frozen
from tests.world import Hand, World

ARGUMENTS = frozen("protocol_1")["arguments"]
COUNTS = ("completed", "ended_early")
# Every path, past one hold of each code, shows what each database reads for it.
FIRST = {hold.code: name for name, hold in reversed(HOLDS.items())}
every_hold = pytest.mark.parametrize(
    "hold",
    [
        pytest.param(name, marks=() if name in FIRST.values() else pytest.mark.one_database)
        for name in HOLDS
    ],
)
TYPED = {"note": "Filed the left heel", "stop_signs": ["pain"], "left_alone": ["right_heel"]}


def done(hand: Hand, start: Args, **more: Any) -> Args:
    return hand.done(start, **{"ended_at": start["started_at"], **TYPED, **more})


def nothing_counts() -> None:
    assert not Visit.objects.filter(state__in=COUNTS).exists()
    assert not Booking.objects.filter(state="done").exists()


def kept_under_review(report: Args, incidents: list[Any], told: frozenset[str]) -> None:
    visit = Visit.objects.get(pk=report["visit"])
    assert visit.state == "under_review"
    assert CompleteVisit(**visit.record) == CompleteVisit(**report)
    raised = set(Incident.objects.filter(pk__in=incidents).values_list("code", flat=True))
    assert raised & told, raised


def tried(held: Held, way: Path) -> None:
    way.before(held)
    start = held.start | way.start(held)
    hand = way.hand(held)
    at = hand.now + way.ahead
    if way.asks:
        assert hand.no("start_visit", start, at) == way.refused_with(held.hold)
        assert not Visit.objects.exists()
    report = done(hand, {**start, **way.report(held)})
    receipt = hand.do("complete_visit", report, max(at, hand.now + timedelta(hours=3)))
    kept_under_review(report, receipt.incidents, way.told)
    nothing_counts()


@every_hold
def test_no_path_past_a_hold(world: World, hold: str) -> None:
    """Everything is undone after each path."""
    held = at_the_door(world, HOLDS[hold])
    faults = []
    for name, way in paths_for(hold).items():
        with undone():
            try:
                tried(copy.deepcopy(held), way)
            except AssertionError as fault:
                faults.append(f"{name}: {fault}")
    assert not faults, "\n".join(faults)


@every_hold
def test_a_coordinator_neither_starts_nor_reports_and_what_they_sent_is_kept(
    world: World, hold: str
) -> None:
    held = at_the_door(world, HOLDS[hold])
    coordinator = world.coordinator
    for name, args in (
        ("start_visit", held.start),
        ("complete_visit", done(coordinator, held.start)),
    ):
        receipt = coordinator.send(name, args)
        assert receipt.refusal is not None
        assert receipt.refusal.code == "not_allowed"
        assert LoggedArgs.objects.get(command=receipt.id).sealed == args
    assert not Visit.objects.exists()
    nothing_counts()


def test_an_app_of_protocol_1_could_send_all_of_it(world: World) -> None:
    """So that each path above was tried with the arguments of an older app."""
    held = at_the_door(world, HOLDS["refer_first"])
    assert held.start.keys() <= ARGUMENTS["start_visit"]["properties"].keys()
    assert done(held.hand, held.start).keys() <= ARGUMENTS["complete_visit"]["properties"].keys()


def test_a_foot_that_is_shown_after_all_settles_what_was_asked_while_it_was_hidden(
    world: World,
) -> None:
    hidden = GOOD_FEET | {"left_foot_seen": "not_shown", "right_foot_seen": "not_shown"}
    held = at_the_door(world, Hold("questions_open", feet=hidden))
    assert "no_foot_to_work_on" in {
        rule["id"] for rule in FootCheck.objects.get(pk=held.start["check"]).judgement["fired"]
    }
    assert held.hand.no("start_visit", held.start) == "questions_open"
    feet_again(held, held.start["screen"])
    held.start["started_at"] = held.hand.later(minutes=1).stamp()
    held.hand.do("start_visit", held.start)
    held.hand.do("complete_visit", done(held.hand, held.start))
    assert Visit.objects.get(pk=held.start["visit"]).state == "completed"


def test_a_day_later_other_answers_are_news_and_the_owner_is_told(world: World) -> None:
    held = at_the_door(world, HOLDS["clearance expired yesterday"])
    held.hand.later(hours=25)
    screen_again(held)
    held.hand.do("start_visit", held.start)
    held.hand.do("complete_visit", done(held.hand, held.start))
    told = Incident.objects.get(code="clearance_need_gone")
    assert told.about_id == UUID(held.start["visit"])
    assert told.reasons == [book_for().content.words["en"]["rule.kidney"]]


def test_a_need_that_only_feet_spoke_of_and_that_was_answered_away_first_is_told_too(
    world: World,
) -> None:
    held = at_the_door(world, HOLDS["no clearance for the feet"])
    screen_again(held)
    held.hand.later(hours=25)
    screen_again(held)
    held.hand.do("start_visit", held.start)
    held.hand.do("complete_visit", done(held.hand, held.start))
    assert Incident.objects.filter(code="clearance_need_gone").count() == 1


def test_a_practice_that_wants_its_screens_fresher_forgets_no_need_sooner(world: World) -> None:
    held = at_the_door(world, HOLDS["no clearance"])
    world.owner.do("adopt_practice_rules", {"text": "settings: {screen_valid_hours: 1}"})
    held.hand.later(minutes=61)
    screen_again(held)
    assert held.hand.no("start_visit", held.start) == "needs_clearance"


def test_a_slip_taken_back_in_time_or_a_clearance_that_covers_it_is_no_reason(
    world: World,
) -> None:
    for settle in (mark_in_time, clear_kidney):
        with undone():
            held = at_the_door(copy.deepcopy(world), HOLDS["no clearance"])
            settle(held)
            screen_again(held)
            held.hand.do("start_visit", held.start)
            held.hand.do("complete_visit", done(held.hand, held.start))
            assert Visit.objects.get(pk=held.start["visit"]).state == "completed"


def mark_in_time(held: Held) -> None:
    slip = {"what": "health_screen", "row": held.start["screen"], "reason": "Wrong tap"}
    held.hand.do("mark_entered_in_error", slip)


def clear_kidney(held: Held) -> None:
    held.hand.clear(held.client)
