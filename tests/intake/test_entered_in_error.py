"""A slip of the finger: the same person, within minutes, the owner told, the first record kept."""

from typing import Any

import pytest

from heelwright.commandlog.wire import Receipt
from heelwright.intake.models import HealthScreen
from heelwright.rulebook import book_for
from tests.factories import GOOD_FEET, HEALTHY, OPEN_SORE, REFERRED, screen_args
from tests.sync.phone_model import fresh
from tests.world import Hand, World, phone_of

# Each alone is no reason to refer; together they are.
PREGNANT = HEALTHY | {"pregnant": True}
SWOLLEN = GOOD_FEET | {"swelling_seen": "both_feet"}
MINUTES = book_for().content.settings.entered_in_error_minutes


def mark(hand: Hand, row: str, what: str = "health_screen") -> Receipt:
    return hand.send("mark_entered_in_error", {"what": what, "row": row, "reason": "Wrong tap"})


def code(receipt: Receipt) -> str | None:
    return receipt.refusal.code if receipt.refusal else None


def start(hand: Hand, client: str, screen: str) -> str | None:
    """Try to start a visit on a screen; returns the code of the refusal, None where it started."""
    args = hand.ready(client, booking=hand.book(client, starts_at=hand.stamp(days=hand.seq)))
    return code(hand.send("start_visit", {**args, "screen": screen}))


def test_it_withdraws_the_referral_keeps_the_first_and_tells_the_owner(world: World) -> None:
    technician = world.technician
    slip = technician.screen(world.client, REFERRED)
    receipt = mark(technician.later(minutes=MINUTES), slip)
    assert code(receipt) is None
    owner = fresh(world.owner)
    kept = next(row for id_, row in owner.of("health_screen").items() if str(id_) == slip)
    assert kept["entered_in_error"] is True
    assert kept["answers"] == REFERRED
    referral = next(row for id_, row in owner.of("referral").items() if str(id_) == slip)
    assert referral["entered_in_error"] is True
    told = owner.of("incident")[receipt.incidents[0]]
    assert (told["code"], told["reasons"]) == ("entered_in_error", ["Wrong tap"])
    ready = technician.ready(world.client)
    technician.do("start_visit", ready)


def test_after_a_slip_the_questions_are_asked_again(world: World) -> None:
    """An older clean screen does not come back into force."""
    technician = world.technician
    ready = technician.ready(world.client)
    slip = technician.later(minutes=1).screen(world.client, REFERRED)
    assert code(mark(technician, slip)) is None
    assert technician.no("start_visit", ready) == "no_screen"


def test_after_a_slip_the_feet_are_looked_at_again(world: World) -> None:
    technician = world.technician
    ready = technician.ready(world.client)
    slip = technician.later(minutes=1).check(world.client, ready["screen"], OPEN_SORE)
    assert technician.no("start_visit", ready) == "referral_unanswered"
    assert code(mark(technician, slip, "foot_check")) is None
    assert technician.no("start_visit", ready) == "no_foot_check"


def test_one_minute_too_late(world: World) -> None:
    slip = world.technician.screen(world.client, REFERRED)
    assert code(mark(world.technician.later(minutes=MINUTES, seconds=1), slip)) == "too_late"


def test_a_clock_set_back_is_no_way_past(world: World) -> None:
    """Once the server has had the referral for longer, no clock of a phone takes it away."""
    technician = world.technician
    slip = technician.screen(world.client, REFERRED)
    soon = technician.now
    technician.later(hours=3)
    args = {"what": "health_screen", "row": slip, "reason": "Wrong tap"}
    assert technician.no("mark_entered_in_error", args, at=soon) == "too_late"


def test_a_screen_dated_ahead_is_no_way_past(world: World) -> None:
    technician = world.technician
    technician.later(minutes=1)
    ahead = technician.envelope(
        "record_screen",
        _screen(world, technician, screened_at=technician.stamp(hours=2)),
    )
    refusal = technician.deliver(ahead)[0].refusal
    assert refusal is not None
    assert (refusal.code, refusal.field) == ("date_too_late", "screened_at")


def _screen(world: World, hand: Hand, **more: Any) -> dict[str, Any]:
    return screen_args(
        **{"client": world.client, "answers": REFERRED, "screened_at": hand.stamp(), **more}
    )


def test_both_made_without_signal_and_delivered_days_later(world: World) -> None:
    technician = world.technician
    args = _screen(world, technician)
    made = technician.now
    marked = {"what": "health_screen", "row": args["screen"], "reason": "Wrong tap"}
    technician.later(minutes=4)
    both = [
        technician.envelope("record_screen", args, at=made),
        technician.envelope("mark_entered_in_error", marked),
    ]
    technician.later(days=3)
    assert [receipt.status for receipt in technician.deliver(*both)] == ["applied", "applied"]


@pytest.mark.parametrize("who", ["owner", "colleague"])
def test_by_somebody_else(world: World, who: str) -> None:
    world.technician.do("assign_client", {"client": world.client, "staff": world.colleague.id})
    slip = world.technician.screen(world.client, REFERRED)
    assert code(mark(world.hands[who], slip)) == "not_yours"


def test_on_another_phone_of_the_same_person(world: World) -> None:
    slip = world.technician.screen(world.client, REFERRED)
    other = phone_of(world.technician.staff, world.now)
    assert code(mark(other, slip)) is None


def test_twice(world: World) -> None:
    slip = world.technician.screen(world.client, REFERRED)
    assert code(mark(world.technician, slip)) is None
    assert code(mark(world.technician, slip)) == "marked_already"


def test_a_later_finding_of_the_same_stands_when_the_first_is_taken_back(world: World) -> None:
    """The second screen made no referral of its own while the first one's was waiting."""
    technician = world.technician
    slip = technician.screen(world.client, REFERRED)
    second = technician.later(minutes=1).screen(world.client, REFERRED)
    assert code(mark(technician, slip)) is None
    waiting = {
        str(id_): row
        for id_, row in fresh(world.owner).of("referral").items()
        if row["client"] == world.client and not row["entered_in_error"]
    }
    assert set(waiting) == {second}
    technician.later(minutes=1)
    clean = technician.screen(world.client, HEALTHY)
    assert start(technician, world.client, clean) == "referral_unanswered"


def test_a_foot_check_with_the_slip_makes_no_referral_of_the_slips_reasons(world: World) -> None:
    technician = world.technician
    slip = technician.screen(world.client, REFERRED)
    technician.later(minutes=1).check(world.client, slip)
    assert code(mark(technician, slip)) is None
    referrals = fresh(world.owner).of("referral").values()
    assert all(row["entered_in_error"] for row in referrals if row["client"] == world.client)


def test_a_foot_check_with_the_slip_keeps_what_the_feet_showed(world: World) -> None:
    technician = world.technician
    slip = technician.screen(world.client, REFERRED)
    check = technician.later(minutes=1).check(world.client, slip, OPEN_SORE)
    assert code(mark(technician, slip)) is None
    referral = next(
        row for id_, row in fresh(world.owner).of("referral").items() if str(id_) == check
    )
    assert referral["entered_in_error"] is False
    assert HealthScreen.objects.filter(pk=slip).exists()


def test_a_foot_check_on_a_slip_is_read_by_itself(world: World) -> None:
    technician = world.technician
    slip = technician.screen(world.client, REFERRED)
    assert code(mark(technician, slip)) is None
    check = technician.later(minutes=1).check(world.client, slip)
    assert check not in {str(id_) for id_ in fresh(world.owner).of("referral")}


@pytest.mark.parametrize("slips", [True, False])
def test_what_a_screen_and_the_feet_say_together_does_not_go_with_a_slip(
    world: World, slips: bool
) -> None:
    """A colleague's screen leaned on the referral that the slip and the feet had made."""
    technician, colleague = world.technician, world.colleague
    technician.do("assign_client", {"client": world.client, "staff": colleague.id})
    first = technician.screen(world.client)
    technician.check(world.client, first, SWOLLEN)
    slip = technician.later(minutes=1).screen(world.client, PREGNANT)
    colleague.now = technician.later(seconds=20).now
    second = colleague.screen(world.client, PREGNANT, seen_screens=[slip])
    technician.later(minutes=2)
    if slips:
        assert code(mark(technician, slip)) is None
    assert _waiting(world) == {second if slips else slip}
    _healthy_is_no_way_past(technician, world.client, [first, slip, second])


def test_nor_where_a_healthy_screen_came_in_between(world: World) -> None:
    technician = world.technician
    first = technician.screen(world.client)
    technician.check(world.client, first, SWOLLEN)
    slip = technician.later(minutes=1).screen(world.client, PREGNANT)
    second = technician.later(minutes=1).screen(world.client, PREGNANT)
    technician.later(minutes=1).screen(world.client)
    assert code(mark(technician, slip)) is None
    assert _waiting(world) == {second}


def test_feet_looked_at_after_the_slip_count_with_a_later_screen(world: World) -> None:
    """The foot check came with the slip, so that it seemed to have told of both already."""
    technician = world.technician
    first = technician.screen(world.client)
    technician.check(world.client, first, SWOLLEN)
    slip = technician.later(minutes=1).screen(world.client, PREGNANT)
    technician.later(minutes=1).check(world.client, slip, SWOLLEN)
    assert code(mark(technician, slip)) is None
    assert _waiting(world) == set()
    second = technician.later(minutes=1).screen(world.client, PREGNANT)
    assert _waiting(world) == {second}


def _waiting(world: World) -> set[str]:
    """The records that refer the client on; swollen feet alone ask for a clearance."""
    return {
        str(row["screen"] or row["check"])
        for row in fresh(world.owner).of("referral").values()
        if row["client"] == world.client
        and not row["entered_in_error"]
        and row["level"] != "needs_clearance"
    }


def _healthy_is_no_way_past(hand: Hand, client: str, seen: list[str]) -> None:
    screen = hand.later(minutes=5).screen(client, seen_screens=seen)
    check = hand.check(client, screen)
    start_args = {**hand.ready_ids(client), "screen": screen, "check": check}
    assert hand.no("start_visit", start_args) == "referral_unanswered"
