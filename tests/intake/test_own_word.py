"""Whose yes it is, and what shows it. Check: our own rule, no source (docs/decisions/0173)."""

from datetime import timedelta

import pytest

from heelwright.commandlog.models import Incident, LoggedArgs
from heelwright.intake.models import Clearance, ReferralAnswer
from tests.factories import NEEDS_WORD, REFERRED, answer_args, clearance_args
from tests.sync.phone_model import fresh
from tests.world import Hand, World


def told(code: str) -> list[Incident]:
    return list(Incident.objects.filter(code=code))


def alike(hand: Hand) -> str:
    """The name of whoever holds the phone, as somebody may well write it."""
    return f"Dr.  {' '.join(reversed(hand.staff.name.split()))}".upper()


def clearance(hand: Hand, client: str, **more: object) -> dict[str, object]:
    days = {"given_on": hand.day(), "expires_on": hand.day(days=90)}
    return clearance_args(**{"client": client, **days, **more})


@pytest.mark.parametrize("verdict", ["may", "may_with_conditions", None])
@pytest.mark.parametrize("by", ["technician", "owner"])
def test_nobody_says_yes_to_the_referral_that_they_write_down(
    world: World, by: str, verdict: str | None
) -> None:
    hand: Hand = getattr(world, by)
    referral = world.technician.screen(world.client, REFERRED)
    said = {"verdict": verdict} if verdict else {}
    args = answer_args(referral=referral, answered_on=hand.day(), clinician=alike(hand), **said)
    receipt = hand.later(minutes=5).send("record_referral_answer", args)
    assert receipt.refusal is not None
    assert (receipt.refusal.code, receipt.refusal.field) == ("own_word", "clinician")
    assert not ReferralAnswer.objects.exists()
    start = hand.later(minutes=1).ready(world.client)
    assert hand.no("start_visit", start) == "referral_unanswered"


def test_a_no_is_taken_from_whoever_says_it(world: World) -> None:
    hand = world.technician
    referral = hand.screen(world.client, REFERRED)
    hand.later(minutes=5).answer(referral, verdict="may_not", clinician=hand.staff.name)
    assert hand.later(minutes=1).no("start_visit", hand.ready(world.client)) == "clinician_said_no"


def test_nobody_clears_whom_they_write_the_clearance_down_for(world: World) -> None:
    hand = world.technician
    receipt = hand.send("record_clearance", clearance(hand, world.client, clinician=alike(hand)))
    assert receipt.refusal is not None
    assert (receipt.refusal.code, receipt.refusal.field) == ("own_word", "clinician")
    assert not Clearance.objects.exists()


@pytest.mark.parametrize("own", ["", "settings: {clearance_days_max: 90}"])
def test_a_clearance_without_an_end_is_refused_and_what_was_typed_is_kept(
    world: World, own: str
) -> None:
    """A year: common practice, no source. A practice may ask for less."""
    world.owner.do("adopt_practice_rules", {"text": own})
    hand, last = world.technician, 90 if own else 366
    hand.screen(world.client, NEEDS_WORD)
    for end in ("2099-12-31", hand.day(days=last + 1)):
        receipt = hand.send("record_clearance", clearance(hand, world.client, expires_on=end))
        assert receipt.refusal is not None
        assert (receipt.refusal.code, receipt.refusal.field) == ("ends_too_late", "expires_on")
        assert str(last) in receipt.refusal.text
        logged = LoggedArgs.objects.get(command=receipt.id)
        assert logged.sealed["scope"]
        assert logged.sealed["expires_on"] == end
    assert not Clearance.objects.exists()
    assert hand.later(minutes=1).no("start_visit", hand.ready(world.client)) == "needs_clearance"
    hand.do("record_clearance", clearance(hand, world.client, expires_on=hand.day(days=last)))


def test_a_clock_years_ahead_brings_no_clearance_for_years(world: World) -> None:
    """It would count from the day on which it was heard of."""
    hand = world.technician
    hand.screen(world.client, NEEDS_WORD)
    at = hand.now + timedelta(days=3 * 365)
    days = {"given_on": str(at.date()), "expires_on": str(at.date() + timedelta(days=300))}
    receipt = hand.send("record_clearance", clearance(hand, world.client, **days), at=at)
    assert receipt.refusal is not None
    assert (receipt.refusal.code, receipt.refusal.field) == ("ends_too_late", "expires_on")
    assert not Clearance.objects.exists()


def test_a_yes_of_somebody_on_the_team_is_taken_and_the_owner_is_told(world: World) -> None:
    hand, podiatrist = world.technician, world.owner.staff.name
    referral = hand.screen(world.client, REFERRED)
    hand.later(minutes=5).answer(referral, clinician=podiatrist)
    hand.clear(world.client, clinician=f"Dr {podiatrist}")
    incidents = told("clinician_of_team")
    assert {i.about for i in incidents} == {"referral", "clearance"}
    assert {i.pk for i in incidents} <= set(fresh(world.owner).of("incident"))
    assert not any(podiatrist in reason for i in incidents for reason in i.reasons)


def test_neither_a_clinician_outside_nor_a_no_nor_who_has_left_is_told_of(world: World) -> None:
    hand, colleague = world.technician, world.colleague.staff
    referral = hand.screen(world.client, REFERRED)
    hand.later(minutes=5).answer(referral)
    hand.later(minutes=5).answer(referral, verdict="may_not", clinician=world.owner.staff.name)
    colleague.name, colleague.ended_at = "Ida Leftlong", hand.now
    colleague.save()
    hand.clear(world.client, clinician=colleague.name)
    assert told("clinician_of_team") == []


@pytest.mark.parametrize("nothing", [{}, {"evidence_note": ""}, {"evidence_note": " \n"}])
def test_a_clearance_that_nothing_shows_is_taken_and_the_owner_is_told(
    world: World, nothing: dict[str, str]
) -> None:
    args = clearance(world.technician, world.client)
    del args["evidence_note"]
    world.technician.do("record_clearance", args | nothing)
    [incident] = told("clearance_shows_nothing")
    assert (incident.about, str(incident.about_id)) == ("clearance", args["clearance"])
    assert incident.pk in fresh(world.owner).of("incident")


def test_a_photo_or_a_note_shows_it(world: World) -> None:
    hand = world.technician
    hand.clear(world.client, evidence_note="", evidence_photo=hand.id)
    hand.clear(world.client, evidence_note="Told by phone")
    assert told("clearance_shows_nothing") == []
