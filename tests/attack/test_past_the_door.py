"""Ways to get a client worked on who must not be, found by trying orders of commands and times."""

from datetime import timedelta
from typing import Any

import pytest

from heelwright.commandlog.wire import Receipt
from heelwright.intake.models import Referral
from heelwright.intake.rules import serious
from heelwright.visits.models import Visit
from tests.factories import GOOD_FEET, HEALTHY, answer_args, check_args, ident, screen_args
from tests.sync.phone_model import fresh
from tests.world import Hand, World

# A pregnancy is told in the health questions, swelling is seen on the feet: neither alone refers,
# both together do (rule pregnant_and_swollen; from memory).
PREGNANT = HEALTHY | {"pregnant": True}
SWOLLEN = GOOD_FEET | {"swelling_seen": "both_feet"}


def why(world: World, receipt: Receipt) -> list[tuple[str, list[str]]]:
    told = fresh(world.owner).of("incident")
    return [(told[id_]["code"], told[id_]["reasons"]) for id_ in receipt.incidents]


def referred() -> list[str]:
    """Swelling by itself asks for a clearance alone."""
    return [str(r.pk) for r in Referral.objects.all() if serious(r.judgement)]


def start(hand: Hand, client: str, screen: str, check: str) -> dict[str, Any]:
    args = {**hand.ready_ids(client), "screen": screen, "check": check}
    return {**args, "started_at": hand.stamp()}


def test_a_screen_that_makes_the_findings_serious_refers_and_no_third_takes_it_back(
    world: World,
) -> None:
    technician = world.technician
    check = technician.check(world.client, technician.screen(world.client), SWOLLEN)
    assert referred() == []
    told = technician.later(minutes=1).screen(world.client, PREGNANT)
    assert referred() == [told]
    again = technician.later(minutes=20).screen(world.client)
    visit = start(technician, world.client, again, check)
    assert technician.no("start_visit", visit) == "referral_unanswered"


def test_a_check_that_names_an_older_screen_is_read_with_the_newest_too(world: World) -> None:
    technician = world.technician
    older = technician.screen(world.client)
    technician.later(minutes=1).screen(world.client, PREGNANT)
    check = technician.later(minutes=1).check(world.client, older, SWOLLEN)
    assert referred() == [check]


def test_what_was_answered_is_not_referred_again_by_the_screen_after_it(world: World) -> None:
    technician = world.technician
    screen = technician.screen(world.client, PREGNANT)
    referral = technician.check(world.client, screen, SWOLLEN)
    technician.later(hours=1).answer(referral)
    again = technician.later(minutes=1).screen(world.client)
    check = technician.later(minutes=1).check(world.client, again)
    assert Referral.objects.count() == 1
    technician.do("start_visit", start(technician, world.client, again, check))


def test_feet_seen_weeks_ago_are_not_read_with_todays_answers(world: World) -> None:
    technician = world.technician
    technician.check(world.client, technician.screen(world.client), SWOLLEN)
    technician.later(weeks=6).screen(world.client, PREGNANT)
    assert referred() == []


def test_an_answer_recorded_after_a_screen_and_dated_before_it(world: World) -> None:
    """In one delivery, where the server's clock tells nothing apart, and within the clocks' slack
    of ten minutes: the order in which the phone numbered them counts."""
    technician = world.technician
    referral = technician.screen(world.client, {**HEALTHY, "foot_injury": True})
    technician.later(hours=1)
    screen = screen_args(client=world.client, screened_at=technician.stamp())
    check = check_args(client=world.client, screen=screen["screen"], checked_at=technician.stamp())
    answer = answer_args(referral=referral, answered_on=technician.day())
    technician.deliver(
        technician.envelope("record_screen", screen),
        technician.envelope("record_foot_check", check),
        technician.envelope(
            "record_referral_answer", answer, at=technician.now - timedelta(minutes=9)
        ),
    )
    visit = start(technician.later(minutes=2), world.client, screen["screen"], check["check"])
    assert technician.no("start_visit", visit) == "screen_before_answer"


def test_a_client_who_says_no_half_way(world: World) -> None:
    technician = world.technician
    visit = technician.ready(world.client)
    technician.do("start_visit", visit)
    technician.later(minutes=5).do(
        "withdraw_consent",
        {"consent": visit["consent"], "reason": "", "withdrawn_at": technician.stamp()},
    )
    technician.later(minutes=30)
    receipt = technician.do("complete_visit", technician.done(visit))
    assert why(world, receipt) == [("visit_of_held_client", ["no_consent"])]
    assert Visit.objects.get(pk=visit["visit"]).state == "under_review"


def test_who_stops_when_the_client_says_no_has_done_right(world: World) -> None:
    technician = world.technician
    visit = technician.ready(world.client)
    technician.do("start_visit", visit)
    technician.later(minutes=5).do(
        "withdraw_consent",
        {"consent": visit["consent"], "reason": "", "withdrawn_at": technician.stamp()},
    )
    technician.later(minutes=2)
    done = technician.done(visit, ended_early="She wanted no more")
    assert technician.do("complete_visit", done).incidents == []
    assert Visit.objects.get(pk=visit["visit"]).state == "ended_early"


def test_one_booking_is_one_visit(world: World) -> None:
    """Told twice under two numbers, by a second phone or to have it counted twice."""
    technician = world.technician
    visit = technician.ready(world.client)
    technician.do("complete_visit", technician.done(visit))
    again = {**visit, "visit": ident()}
    receipt = technician.do("complete_visit", technician.done(again))
    assert why(world, receipt) == [("visit_of_closed_booking", ["done"])]
    assert Visit.objects.get(pk=again["visit"]).state == "under_review"


def test_a_visit_of_a_booking_that_was_cancelled(world: World) -> None:
    """The start is refused; the work, if it was done, is for the owner to look at."""
    technician = world.technician
    visit = technician.ready(world.client)
    world.owner.do("cancel_booking", {"booking": visit["booking"], "seen": 10**6, "reason": "Ill"})
    assert technician.no("start_visit", visit) == "booking_closed"
    receipt = technician.do("complete_visit", technician.done(visit))
    assert why(world, receipt) == [("visit_of_closed_booking", ["cancelled"])]
    assert Visit.objects.get(pk=visit["visit"]).state == "under_review"


@pytest.mark.parametrize(
    ("card", "changes", "fields"),
    [
        ({"born": "1940-01-01"}, {"born": "1990-01-01"}, ["born"]),
        ({"born": "1990-01-01"}, {"born": "1940-01-01"}, []),
        ({"decides_for_self": False}, {"decides_for_self": True}, ["decides_for_self"]),
        ({}, {"decides_for_self": False, "phone": "555 0101"}, []),
    ],
)
def test_a_card_made_milder_is_told_to_the_owner(
    world: World, card: dict[str, Any], changes: dict[str, Any], fields: list[str]
) -> None:
    """By a younger age the questions for older clients fall away; who decides for themselves needs
    nobody else's signature. Both may be right, and neither may pass unseen."""
    client = world.technician.register(**card)
    amended = {"client": client, "seen": 10**6, "changes": changes}
    receipt = world.technician.do("amend_client", amended)
    assert why(world, receipt) == ([("card_made_milder", fields)] if fields else [])
