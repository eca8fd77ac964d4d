"""A visit is judged by what stood when it began, and again when something comes late that speaks
against it. Check: the project's own requirement, no outside source."""

from collections.abc import Sequence
from datetime import datetime, timedelta
from typing import Any

import pytest

from heelwright.commandlog.models import Incident
from heelwright.commandlog.wire import Envelope
from heelwright.visits.models import Visit
from tests.factories import HEALTHY, NEEDS_WORD, OPEN_SORE, REFERRED, check_args, screen_args
from tests.sync.phone_model import fresh
from tests.world import Hand, World


def made(world: World, **more: Any) -> dict[str, Any]:
    """A visit that was begun, done and reported with signal, all in order."""
    technician = world.technician
    start = technician.ready(world.client, **more)
    if more:
        technician.clear(world.client)
    technician.do("start_visit", start)
    done = technician.done(start, ended_at=technician.later(minutes=40).stamp())
    assert technician.do("complete_visit", done).incidents == []
    world.owner.now = technician.now
    return start


def state(start: dict[str, Any]) -> str:
    return Visit.objects.get(pk=start["visit"]).state


def told(hand: Hand) -> list[tuple[str, list[str]]]:
    """Of clocks set back, which these tests play with, it says nothing."""
    rows = fresh(hand).of("incident").values()
    return [(r["code"], r["reasons"]) for r in rows if r["code"] != "clock_set_back"]


def owners_screen(world: World, answers: dict[str, Any], at: datetime, **more: Any) -> Envelope:
    args = screen_args(client=world.client, answers=answers, screened_at=at.isoformat(), **more)
    return world.owner.envelope("record_screen", args, at=at)


def withdrawn(world: World, name: str, row: str, at: datetime) -> Envelope:
    what = name.removeprefix("withdraw_")
    args = {what: row, "reason": "No longer", "withdrawn_at": at.isoformat()}
    return world.owner.envelope(name, args, at=at)


HELD = "visit_of_held_client"
LATE = [("kidney", -30, ["needs_clearance"]), ("hurt", -30, ["referral_unanswered", "refer_first"])]


@pytest.mark.parametrize(("what", "minutes", "reasons"), LATE)
def test_a_screen_from_before_the_start_that_comes_late(
    world: World, what: str, minutes: int, reasons: list[str]
) -> None:
    """The owner had asked as well, without signal, and neither knew of the other."""
    begin = world.technician.now
    start = made(world)
    answers = NEEDS_WORD if what == "kidney" else REFERRED
    late = owners_screen(world, answers, begin + timedelta(minutes=minutes), seen_screens=[])
    assert world.owner.later(hours=3).deliver(late)[0].status == "applied"
    assert state(start) == "under_review"
    for hand in (world.owner, world.technician):
        assert (HELD, reasons) in told(hand)
    assert not told(world.colleague)
    assert [one["state"] for one in fresh(world.technician).of("visit").values()] == [
        "under_review"
    ]


def test_a_foot_check_from_before_the_start_that_comes_late(world: World) -> None:
    begin = world.technician.now
    start = made(world)
    before = (begin + timedelta(seconds=-30)).isoformat()
    args = check_args(
        client=world.client, screen=start["screen"], checked_at=before, answers=OPEN_SORE
    )
    world.owner.do("record_foot_check", args, at=begin)
    assert state(start) == "under_review"
    assert (HELD, ["referral_unanswered", "refer_first"]) in told(world.technician)


@pytest.mark.parametrize(
    ("name", "needed", "reasons"),
    [
        ("withdraw_clearance", NEEDS_WORD, ["needs_clearance"]),
        ("withdraw_consent", HEALTHY, ["no_consent"]),
    ],
)
def test_a_withdrawal_from_before_the_start_is_told_once(
    world: World, name: str, needed: dict[str, Any], reasons: list[str]
) -> None:
    begin = world.technician.now
    start = made(world, health=needed)
    (clearance,) = fresh(world.owner).of("clearance")
    row = start["consent"] if name == "withdraw_consent" else str(clearance)
    late = [withdrawn(world, name, row, begin - timedelta(minutes=n)) for n in (40, 20)]
    receipts = world.owner.later(hours=3).deliver(*late)
    assert [receipt.status for receipt in receipts] == ["applied", "applied"]
    assert state(start) == "under_review"
    assert told(world.technician) == [(HELD, reasons)]
    world.owner.deliver(*late)
    assert told(world.owner) == [(HELD, reasons)]


def test_a_consent_withdrawn_during_the_visit(world: World) -> None:
    begin = world.technician.now
    start = made(world)
    during = begin + timedelta(minutes=10)
    world.owner.deliver(withdrawn(world, "withdraw_consent", start["consent"], during))
    assert state(start) == "under_review"
    assert told(world.technician) == [(HELD, ["no_consent"])]


def test_what_happened_after_the_visit_says_nothing_of_it(world: World) -> None:
    start = made(world, health=NEEDS_WORD)
    (clearance,) = fresh(world.owner).of("clearance")
    after = world.technician.now + timedelta(minutes=1)
    late = [
        withdrawn(world, "withdraw_clearance", str(clearance), after),
        withdrawn(world, "withdraw_consent", start["consent"], after),
        owners_screen(world, REFERRED, after, seen_screens=[start["screen"]]),
    ]
    world.owner.later(hours=3).deliver(*late)
    assert state(start) == "completed"
    assert told(world.technician) == []


def test_a_visit_that_has_begun_stays_open_for_its_report(world: World) -> None:
    technician = world.technician
    start = technician.ready(world.client)
    technician.do("start_visit", start)
    late = owners_screen(world, REFERRED, world.now - timedelta(minutes=5), seen_screens=[])
    world.owner.later(minutes=10).deliver(late)
    assert state(start) == "started"
    reasons = ["referral_unanswered", "refer_first"]
    assert (HELD, reasons) in told(technician)
    technician.do("complete_visit", technician.later(minutes=40).done(start))
    assert state(start) == "under_review"
    assert told(technician).count((HELD, reasons)) == 1
    assert Incident.objects.filter(code=HELD).count() == 1


def test_a_report_that_comes_late_is_not_judged_by_the_newest_screen(world: World) -> None:
    technician = world.technician
    start = technician.ready(world.client)
    both = _both(technician, start)
    world.owner.later(hours=2).screen(world.client, REFERRED, seen_screens=[start["screen"]])
    began, ended = technician.later(hours=6).deliver(*both)
    assert (began.status, ended.status, ended.incidents) == ("applied", "applied", [])
    assert state(start) == "completed"


def test_a_clearance_written_down_after_the_start_was_not_there(world: World) -> None:
    """It names the same day."""
    technician = world.technician
    start = technician.ready(world.client, health=NEEDS_WORD)
    both = _both(technician, start)
    world.owner.later(hours=2).clear(world.client)
    began, ended = technician.later(hours=6).deliver(*both)
    assert began.refusal is not None
    assert began.refusal.code == "needs_clearance"
    assert told(technician) == [(HELD, ["needs_clearance"])]
    assert ended.status == "applied"


def test_a_referral_that_was_answered_after_the_start_held(world: World) -> None:
    technician = world.technician
    referral = technician.screen(world.client, REFERRED)
    start = technician.later(minutes=1).ready(world.client)
    both = _both(technician, start)
    technician.later(hours=1)
    answer = technician.envelope(
        "record_referral_answer",
        {
            "referral": referral,
            "clinician": "Dr Invented",
            "clinician_role": "gp",
            "answered_on": technician.day(),
            "answer": "Fine",
        },
    )
    technician.deliver(*both, answer)
    assert (HELD, ["referral_unanswered"]) in told(technician)


def test_a_client_who_died_after_the_visit_was_visited(world: World) -> None:
    technician = world.technician
    both = _both(technician, technician.ready(world.client))
    owner = world.owner.later(days=2)
    changes = {"status": "died", "status_since": owner.day()}
    owner.do("amend_client", {"client": world.client, "seen": 10_000, "changes": changes})
    began, ended = technician.later(days=3).deliver(*both)
    assert (began.status, ended.incidents) == ("applied", [])


def _both(technician: Hand, start: dict[str, Any]) -> Sequence[Envelope]:
    return (
        technician.envelope("start_visit", start),
        technician.envelope("complete_visit", technician.done(start)),
    )
