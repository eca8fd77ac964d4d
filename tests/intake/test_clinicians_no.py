"""A clinician says no, and what it takes to get past that. Check: our own rule, no source."""

from datetime import timedelta
from typing import Any
from uuid import UUID

from heelwright.commandlog.models import Incident
from heelwright.intake.facts import referrals_waiting
from heelwright.intake.models import Referral
from heelwright.people.models import Client
from heelwright.visits.models import Visit
from tests.factories import REFERRED, answer_args, ident
from tests.sync.phone_model import fresh
from tests.world import Hand, World


def start_refused(hand: Hand, client: str) -> str:
    return hand.later(minutes=1).no("start_visit", hand.ready(client))


def row_of(hand: Hand, referral: str) -> dict[str, Any]:
    return fresh(hand).of("referral")[UUID(referral)]


def test_a_no_holds_until_a_later_yes_and_a_screen_after_it(world: World) -> None:
    hand = world.technician
    referral = hand.screen(world.client, REFERRED)
    hand.later(hours=1).answer(referral, verdict="may_not")
    assert start_refused(hand, world.client) == "clinician_said_no"
    start = hand.later(hours=1).ready(world.client)
    hand.later(minutes=1).answer(referral, verdict="may_with_conditions")
    late = {**start, "started_at": hand.stamp()}
    assert hand.no("start_visit", late) == "screen_before_answer"
    hand.later(hours=1).do("start_visit", hand.ready(world.client))


def test_a_no_after_a_yes_holds_again(world: World) -> None:
    hand = world.technician
    referral = hand.screen(world.client, REFERRED)
    hand.later(minutes=5).answer(referral)
    hand.later(minutes=5).answer(referral, verdict="may_not")
    assert start_refused(hand, world.client) == "clinician_said_no"


def test_apps_that_know_of_no_verdict_see_a_referral_that_waits(world: World) -> None:
    hand = world.technician
    referral = hand.screen(world.client, REFERRED)
    hand.later(minutes=5).answer(referral)
    assert row_of(hand, referral)["answer_recorded_at"] is not None
    hand.later(minutes=5).answer(referral, verdict="may_not", answer="Not before the swelling goes")
    row = row_of(hand, referral)
    assert row["answer_recorded_at"] is None
    assert [said["verdict"] for said in row["answers"]] == ["may", "may_not"]


def test_an_answer_of_an_old_app_lets_the_work_go_on_as_it_did(world: World) -> None:
    hand = world.technician
    referral = hand.screen(world.client, REFERRED)
    old = answer_args(referral=referral, answered_on=hand.day())
    hand.later(minutes=5).do("record_referral_answer", old)
    hand.later(minutes=1).do("start_visit", hand.ready(world.client))


def test_a_yes_that_was_on_its_way_when_the_no_came_lifts_nothing(world: World) -> None:
    """Written down before the no and sent after it, with a newer screen there already."""
    hand, owner = world.technician, world.owner
    referral = hand.screen(world.client, REFERRED)
    owner.now = hand.later(hours=3).now
    owner.answer(referral, verdict="may_not", at=hand.now - timedelta(hours=1))
    hand.screen(world.client)
    hand.answer(referral, at=hand.now - timedelta(hours=2))
    assert start_refused(hand, world.client) == "clinician_said_no"


def test_a_no_that_was_on_its_way_when_the_yes_came_holds(world: World) -> None:
    hand, owner = world.technician, world.owner
    referral = hand.screen(world.client, REFERRED)
    owner.now = hand.later(hours=3).now
    owner.answer(referral, at=hand.now - timedelta(hours=1))
    hand.answer(referral, verdict="may_not", at=hand.now - timedelta(hours=2))
    assert start_refused(hand, world.client) == "clinician_said_no"


def test_an_older_letter_does_not_take_back_a_newer_no(world: World) -> None:
    hand = world.technician
    referral = hand.screen(world.client, REFERRED)
    hand.later(days=3).answer(referral, verdict="may_not")
    hand.later(hours=1).answer(referral, answered_on=hand.day(days=-2))
    assert start_refused(hand, world.client) == "clinician_said_no"


def test_a_no_that_is_older_than_the_referral_holds_and_is_not_refused(world: World) -> None:
    hand = world.technician
    referral = hand.screen(world.client, REFERRED)
    hand.later(hours=1).answer(referral, verdict="may_not", answered_on=hand.day(days=-20))
    assert start_refused(hand, world.client) == "clinician_said_no"


def test_no_slip_takes_a_no_away(world: World) -> None:
    hand = world.technician
    referral = hand.screen(world.client, REFERRED)
    hand.later(minutes=1).answer(referral, verdict="may_not")
    slip = {"what": "health_screen", "row": referral, "reason": "Wrong client"}
    hand.later(minutes=1).do("mark_entered_in_error", slip)
    assert start_refused(hand, world.client) == "clinician_said_no"
    assert waiting(hand, world.client) == [referral]
    again = hand.later(minutes=1).screen(world.client, REFERRED)
    assert sorted(waiting(hand, world.client)) == sorted([referral, again])
    for each in (referral, again):
        hand.later(minutes=1).answer(each)
    assert waiting(hand, world.client) == []
    hand.later(hours=1).do("start_visit", hand.ready(world.client))


def waiting(hand: Hand, client: str) -> list[str]:
    card = Client.objects.get(pk=client)
    return [str(referral.pk) for referral in referrals_waiting(card, hand.now)]


def test_a_phone_that_is_shut_out_may_bring_a_no_and_no_yes(world: World) -> None:
    hand = world.technician
    referral = hand.screen(world.client, REFERRED)
    world.owner.do("revoke_device", {"device": str(hand.device.pk), "save_unsent": True})
    hand.later(minutes=5).answer(referral, verdict="may_not")
    yes = answer_args(referral=referral, answered_on=hand.day(), verdict="may")
    hand.later(minutes=5).send("record_referral_answer", yes)
    answers = Referral.objects.get(pk=referral).answers.all()
    assert [answer.verdict for answer in answers] == ["may_not"]


def test_a_visit_that_went_on_after_a_no_is_reviewed_when_the_no_comes(world: World) -> None:
    hand, owner = world.technician, world.owner
    referral = hand.screen(world.client, REFERRED)
    hand.later(minutes=5).answer(referral)
    no = owner.envelope(
        "record_referral_answer",
        answer_args(referral=referral, answered_on=hand.day(), verdict="may_not"),
        hand.later(minutes=5).now,
    )
    start = hand.later(minutes=5).ready(world.client)
    hand.do("start_visit", start)
    hand.later(minutes=30).do("complete_visit", hand.done(start))
    owner.now = hand.later(minutes=5).now
    owner.deliver(no)
    assert Visit.objects.get(pk=start["visit"]).state == "under_review"
    told = Incident.objects.filter(code="visit_of_held_client", about_id=start["visit"])
    assert [incident.reasons for incident in told] == [["clinician_said_no"]]


def test_the_way_of_a_referral_is_on_its_row_and_frees_nobody(world: World) -> None:
    hand = world.technician
    referral = hand.screen(world.client, REFERRED)
    step = {"referral": referral, "done_at": hand.stamp(), "note": "At the door"}
    handed = step | {"step": ident(), "what": "handed_over", "how": "family", "to": "Daughter"}
    hand.do("record_referral_step", handed)
    acknowledged = step | {"step": ident(), "what": "acknowledged", "to": "Dr Invented"}
    hand.do("record_referral_step", acknowledged)
    steps = row_of(hand, referral)["steps"]
    assert [(s["what"], s["how"], s["to"]) for s in steps] == [
        ("handed_over", "family", "Daughter"),
        ("acknowledged", "", "Dr Invented"),
    ]
    assert start_refused(hand, world.client) == "referral_unanswered"


def test_a_clearance_narrows_what_a_visit_is_checked_by(world: World) -> None:
    hand = world.technician
    start = hand.ready(world.client)
    limits = {"max_rpm": {"diamond_large": 8000}, "leave_alone": ["left_heel"]}
    hand.clear(world.client, limits=limits, evidence_note="Letter of today, seen")
    hand.do("start_visit", start)
    bit = {"family": "diamond_large", "head_mm": 6, "rpm": 9000, "places": ["left_heel"]}
    hand.later(minutes=30).do("complete_visit", hand.done(start, bits=[bit]))
    told = Incident.objects.get(code="outside_limits", about_id=start["visit"])
    assert told.reasons == ["too_fast", "area_to_leave_alone"]


def test_a_clearance_that_is_over_narrows_nothing(world: World) -> None:
    hand = world.technician
    days = {"given_on": hand.day(days=-9), "expires_on": hand.day(days=-1)}
    hand.clear(world.client, limits={"bits_allowed": []}, **days)
    start = hand.ready(world.client)
    hand.do("start_visit", start)
    hand.later(minutes=30).do("complete_visit", hand.done(start))
    assert Visit.objects.get(pk=start["visit"]).state == "completed"
