"""A visit made without signal, and what others did to its client in the meantime.

Two phones speak to the server, each in its own time. The report is kept, goes to review, and says
why to the owner and to the technician; sent again, it changes nothing. Check: the project's own
requirement, no outside source.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import pytest

from heelwright.commandlog.models import CommandRecord, FeedRow, LoggedArgs
from heelwright.commandlog.wire import Envelope
from tests.database import everything
from tests.factories import NEEDS_WORD
from tests.sync.phone_model import fresh
from tests.world import World


@dataclass
class Meanwhile:
    """The technician has gone off with everything in order; the owner's phone has signal."""

    world: World
    start: dict[str, Any]
    clearance: str


Change = Callable[[Meanwhile], Any]


def withdraw_clearance(m: Meanwhile) -> None:
    owner = m.world.owner
    told = {"reason": "New test results", "withdrawn_at": owner.stamp()}
    owner.do("withdraw_clearance", {"clearance": m.clearance, **told})


def withdraw_consent(m: Meanwhile) -> None:
    owner = m.world.owner
    told = {"consent": m.start["consent"], "reason": "", "withdrawn_at": owner.stamp()}
    owner.do("withdraw_consent", told)


def to_hospital(m: Meanwhile) -> None:
    owner = m.world.owner
    changes = {"status": "in_hospital", "status_since": owner.day()}
    owner.do("amend_client", {"client": m.world.client, "seen": 10_000, "changes": changes})


def cancel(m: Meanwhile) -> None:
    told = {"booking": m.start["booking"], "seen": 10_000, "reason": "Ill"}
    m.world.owner.do("cancel_booking", told)


def move(m: Meanwhile) -> None:
    owner = m.world.owner
    when = {"starts_at": owner.stamp(days=7), "minutes": 45, "staff": owner.id}
    owner.do("move_booking", {"booking": m.start["booking"], "seen": 10_000, **when})


def ask_again(m: Meanwhile) -> None:
    """With other answers, for which no clearance was given, and knowing the technician's."""
    answers = NEEDS_WORD | {"bleeding_disorder": True}
    m.world.owner.screen(m.world.client, answers, seen_screens=[m.start["screen"]])


CASES: dict[str, tuple[Change, str, str, list[str]]] = {
    "clearance withdrawn": (
        withdraw_clearance,
        "needs_clearance",
        "visit_of_held_client",
        ["needs_clearance"],
    ),
    "consent withdrawn": (withdraw_consent, "no_consent", "visit_of_held_client", ["no_consent"]),
    "client in hospital": (to_hospital, "client_away", "visit_of_absent_client", ["in_hospital"]),
    "booking cancelled": (cancel, "booking_closed", "visit_of_closed_booking", ["cancelled"]),
    "screen superseded": (
        ask_again,
        "needs_clearance",
        "visit_of_held_client",
        ["needs_clearance"],
    ),
}


def gone_off(world: World) -> Meanwhile:
    """A client of whom a clinician's word is needed, and on record."""
    technician = world.technician
    start = technician.ready(world.client, health=NEEDS_WORD)
    clearance = technician.clear(world.client)
    seen = FeedRow.objects.get(kind="booking", row_id=start["booking"]).seq
    return Meanwhile(world, {**start, "seen_booking": seen}, clearance)


def made_without_signal(m: Meanwhile) -> list[Envelope]:
    """Begun two hours after the technician left, ended an hour later."""
    technician = m.world.technician
    start = {**m.start, "started_at": technician.later(hours=2).stamp()}
    began = technician.envelope("start_visit", start)
    technician.later(hours=1)
    done = technician.done(start, note="All went well")
    return [began, technician.envelope("complete_visit", done)]


@pytest.mark.parametrize("case", CASES)
def test_the_report_is_kept_reviewed_and_says_why(world: World, case: str) -> None:
    change, refusal, code, reasons = CASES[case]
    m = gone_off(world)
    world.owner.later(hours=1)
    change(m)
    both = made_without_signal(m)
    for hand in (world.owner, world.technician):
        hand.now = both[-1].made_at
    world.technician.later(hours=6)
    began, ended = world.technician.deliver(*both)
    assert began.refusal is not None
    assert began.refusal.code == refusal
    assert ended.status == "applied"
    for hand in (world.owner, world.technician):
        rows = fresh(hand)
        told = [rows.of("incident")[id_] for id_ in ended.incidents]
        assert [(one["code"], one["reasons"]) for one in told] == [(code, reasons)]
        (visit,) = rows.of("visit").values()
        assert (visit["state"], visit["record"]["note"]) == ("under_review", "All went well")
    assert {row["state"] for row in fresh(world.owner).of("booking").values()} != {"done"}
    _replays_change_nothing(world, both)


def _replays_change_nothing(world: World, both: list[Envelope]) -> None:
    before = everything()
    assert {r.status for r in world.technician.later(days=1).deliver(*both)} == {"already_applied"}
    assert everything() == before
    kept = LoggedArgs.objects.get(command=CommandRecord.objects.get(pk=both[-1].id))
    assert kept.sealed == both[-1].args


def test_a_booking_that_was_moved(world: World) -> None:
    """The visit may begin: the client is the same. Whether the new time still stands, a person
    says."""
    m = gone_off(world)
    world.owner.later(hours=1)
    move(m)
    both = made_without_signal(m)
    began, ended = world.technician.later(hours=6).deliver(*both)
    assert (began.status, ended.status) == ("applied", "applied")
    told = [fresh(world.technician).of("incident")[id_] for id_ in ended.incidents]
    assert [(one["code"], one["reasons"]) for one in told] == [
        ("visit_of_moved_booking", ["booked_for_another_day", "booked_for_somebody_else"])
    ]
    (booking,) = fresh(world.owner).of("booking").values()
    assert booking["state"] == "booked"
    (visit,) = fresh(world.owner).of("visit").values()
    assert visit["state"] == "under_review"
    _replays_change_nothing(world, both)


def test_a_move_that_the_phone_knew_of_raises_nothing(world: World) -> None:
    m = gone_off(world)
    world.owner.later(hours=1)
    move(m)
    m.start["seen_booking"] = FeedRow.objects.get(kind="booking", row_id=m.start["booking"]).seq
    _, ended = world.technician.later(hours=6).deliver(*made_without_signal(m))
    assert ended.incidents == []


def test_nothing_happened_meanwhile(world: World) -> None:
    """Or the cases above would show nothing."""
    both = made_without_signal(gone_off(world))
    began, ended = world.technician.later(hours=6).deliver(*both)
    assert (began.status, ended.status, ended.incidents) == ("applied", "applied", [])
    assert [v["state"] for v in fresh(world.owner).of("visit").values()] == ["completed"]
