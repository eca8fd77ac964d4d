"""What goes on from an earlier finding, and what is gone, is kept as it was told.

Check: our own rule, no source."""

from typing import Any

from heelwright.intake.models import FootCheck
from tests.factories import GOOD_FEET, check_args
from tests.sync.phone_model import fresh
from tests.world import World

CRACK: dict[str, Any] = {
    "id": "f2",
    "foot": "left",
    "view": "sole",
    "region": "heel_centre",
    "what": "crack",
    "length_mm": 12,
    "depth_mm": 1,
    "state": "closed",
    "bleeding": False,
    "oozing": False,
}


def kept(world: World, **more: Any) -> dict[str, Any]:
    technician = world.technician
    screen = technician.screen(world.client)
    args = check_args(client=world.client, screen=screen, checked_at=technician.stamp(), **more)
    technician.do("record_foot_check", args)
    rows = fresh(world.owner).of("foot_check")
    return next(row for key, row in rows.items() if str(key) == args["check"])


def test_both_come_back_as_they_were_told(world: World) -> None:
    row = kept(world, findings=[CRACK | {"follows": "f1"}], gone=["f0"])
    assert row["findings"][0]["follows"] == "f1"
    assert row["gone"] == ["f0"]


def test_a_finding_that_is_not_on_record_may_be_followed_and_may_be_gone(world: World) -> None:
    # The check before may still be on another phone; the report is kept either way.
    row = kept(world, findings=[CRACK | {"follows": "never-seen"}], gone=["never-seen-either"])
    assert row["findings"][0]["follows"] == "never-seen"
    assert row["gone"] == ["never-seen-either"]


def test_an_app_that_knows_of_neither_is_read_as_before(world: World) -> None:
    row = kept(world, findings=[CRACK])
    assert row["findings"][0]["follows"] is None
    assert row["gone"] == []


def test_what_nobody_looked_for_is_judged_as_it_was(world: World) -> None:
    """An open question stays open, and what refers on refers on."""
    crack = CRACK | {"depth_mm": None, "follows": "f1", "looked": False}
    row = kept(world, answers=GOOD_FEET, findings=[crack])
    assert row["findings"][0]["looked"] is False
    assert refused(world) == "questions_open"
    ulcer = CRACK | {"what": "ulcer", "follows": "f1", "looked": False}
    row = kept(world, answers=GOOD_FEET, findings=[ulcer])
    assert row["outcome"] == "refer_first"
    assert refused(world) == "referral_unanswered"


def refused(world: World) -> str:
    hand = world.technician
    start = {**hand.ready_ids(world.client), "started_at": hand.stamp()}
    newest = max(FootCheck.objects.all(), key=lambda check: check.checked_at)
    return hand.no(
        "start_visit", start | {"screen": str(newest.screen_id), "check": str(newest.pk)}
    )


def test_what_was_looked_at_says_so_by_saying_nothing(world: World) -> None:
    """Apps of before read no finding that says it."""
    row = kept(world, findings=[CRACK | {"looked": True}])
    assert "looked" not in row["findings"][0]


def test_a_check_that_was_kept_before_has_nothing_gone(world: World) -> None:
    row = kept(world, findings=[CRACK], gone=["f0"])
    FootCheck.objects.update(gone=None)
    again = next(iter(fresh(world.owner).of("foot_check").values()))
    assert again == row | {"gone": []}
