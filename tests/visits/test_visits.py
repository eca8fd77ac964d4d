"""A visit: started where it may be, and kept whatever was reported of it."""

from typing import Any

import pytest

from heelwright.schedule.models import Booking
from heelwright.visits.models import Visit
from tests.factories import NEEDS_WORD, REFERRED, ident
from tests.sync.phone_model import fresh
from tests.world import Hand, World


def codes(hand: Hand, incidents: list[Any]) -> list[str]:
    told = fresh(hand).of("incident")
    return [told[id_]["code"] for id_ in incidents]


def test_a_whole_visit(world: World) -> None:
    technician = world.technician
    start = technician.ready(world.client)
    technician.do("start_visit", start)
    done = technician.later(minutes=40).done(start, ended_at=technician.stamp(), note="All well")
    assert technician.do("complete_visit", done).incidents == []
    (visit,) = fresh(world.owner).of("visit").values()
    assert visit["state"] == "completed"
    assert visit["record"]["note"] == "All well"
    assert [b["state"] for b in fresh(technician).of("booking").values()] == ["done"]
    assert technician.no("start_visit", {**start, "visit": ident()}) == "booking_closed"
    assert technician.no("complete_visit", {**done, "note": "Again"}) == "id_taken"


def test_nobody_reports_a_visit_that_somebody_else_began(world: World) -> None:
    """So the report of whoever did the work finds it open."""
    technician, colleague = world.technician, world.colleague
    world.owner.do("assign_client", {"client": world.client, "staff": colleague.id})
    start = technician.ready(world.client)
    technician.do("start_visit", start)
    colleague.now = technician.later(minutes=40).now
    assert colleague.no("complete_visit", colleague.done(start)) == "begun_by_another"
    technician.do("complete_visit", technician.done(start, stop_signs=["bleeding"]))
    (visit,) = fresh(world.owner).of("visit").values()
    assert (visit["staff"], visit["record"]["stop_signs"]) == (technician.id, ["bleeding"])


def test_a_visit_that_ended_early_is_done_too(world: World) -> None:
    technician = world.technician
    start = technician.ready(world.client)
    done = technician.done(start, ended_early="The skin turned pink", stop_signs=["pink"])
    technician.do("complete_visit", done)
    assert Visit.objects.get(pk=start["visit"]).state == "ended_early"
    assert Booking.objects.get(pk=start["booking"]).state == "done"


def test_a_report_of_a_held_client_is_kept_for_the_owner_and_is_no_visit(world: World) -> None:
    technician = world.technician
    start = technician.ready(world.client, health=REFERRED)
    assert technician.no("start_visit", start) == "referral_unanswered"
    receipt = technician.do("complete_visit", technician.done(start, note="Done all the same"))
    owner = fresh(world.owner)
    told = owner.of("incident")[receipt.incidents[0]]
    assert told["code"] == "visit_of_held_client"
    assert told["reasons"] == ["referral_unanswered", "refer_first"]
    assert told["about"] == "visit"
    assert str(told["about_id"]) == start["visit"]
    (visit,) = owner.of("visit").values()
    assert (visit["state"], visit["record"]["note"]) == ("under_review", "Done all the same")
    (booking,) = owner.of("booking").values()
    assert booking["state"] == "booked"
    assert codes(technician, receipt.incidents) == ["visit_of_held_client"]
    assert not fresh(world.colleague).of("incident")
    assert not fresh(world.colleague).of("visit")
    assert not fresh(world.coordinator).of("incident")


def test_a_report_whose_booking_was_refused_is_kept(world: World) -> None:
    """Booked without signal where the technician had another visit: the care was given all the
    same."""
    technician = world.technician
    start = {**technician.ready(world.client), "booking": ident()}
    receipt = technician.do("complete_visit", technician.done(start))
    assert codes(world.owner, receipt.incidents) == ["visit_names_unknown"]
    assert Visit.objects.get(pk=start["visit"]).state == "under_review"


def test_a_report_about_a_client_of_others_is_kept_and_flagged(world: World) -> None:
    start = world.technician.ready(world.client)
    receipt = world.colleague.do("complete_visit", world.colleague.done(start))
    assert codes(world.owner, receipt.incidents) == ["client_of_others"]
    assert Visit.objects.get(pk=start["visit"]).state == "under_review"
    assert Booking.objects.get(pk=start["booking"]).state == "booked"


@pytest.mark.parametrize("other", ["screen", "check", "consent"])
def test_what_a_visit_rests_on_is_this_clients(world: World, other: str) -> None:
    technician = world.technician
    start = technician.ready(world.client)
    theirs = technician.ready(
        world.resident, booking=technician.book(world.resident, starts_at=technician.stamp(days=1))
    )
    mixed = {**start, other: theirs[other]}
    refusal = technician.send("start_visit", mixed).refusal
    assert refusal is not None
    assert refusal.field == other
    receipt = technician.do("complete_visit", technician.done(mixed))
    told = fresh(world.owner).of("incident")[receipt.incidents[0]]
    assert (told["code"], told["reasons"]) == ("visit_names_unknown", [other])


def test_a_consent_that_was_withdrawn_starts_nothing(world: World) -> None:
    technician = world.technician
    start = technician.ready(world.client)
    withdrawn = technician.stamp(hours=-1)
    technician.do(
        "withdraw_consent",
        {"consent": start["consent"], "reason": "Changed her mind", "withdrawn_at": withdrawn},
    )
    assert technician.no("start_visit", start) == "no_consent"
    again = technician.later(minutes=1).consent(world.client)
    assert technician.no("start_visit", {**start, "started_at": technician.stamp()}) == "not_found"
    technician.do("start_visit", {**start, "consent": again, "started_at": technician.stamp()})


def test_a_consent_signed_after_the_start(world: World) -> None:
    technician = world.technician
    start = technician.ready(world.client)
    technician.do(
        "withdraw_consent",
        {"consent": start["consent"], "reason": "", "withdrawn_at": technician.stamp()},
    )
    late = technician.later(minutes=30).consent(world.client)
    report = technician.done({**start, "consent": late})
    receipt = technician.do("complete_visit", report)
    assert codes(world.owner, receipt.incidents) == ["visit_of_held_client"]


def test_the_client_decides_no_longer_and_somebody_signs_for_them(world: World) -> None:
    technician = world.technician
    technician.do(
        "amend_client",
        {"client": world.client, "seen": 10_000, "changes": {"decides_for_self": False}},
    )
    start = technician.ready(world.client)
    assert technician.no("start_visit", start) == "consent_by_representative"
    signed = technician.consent(
        world.client, signer_role="representative", authority="Lasting power of attorney"
    )
    technician.do("start_visit", {**start, "consent": signed})


def test_yesterdays_answers(world: World) -> None:
    technician = world.technician
    start = technician.ready(world.client)
    technician.later(hours=24, minutes=1)
    late = {**start, "started_at": technician.stamp()}
    assert technician.no("start_visit", late) == "screen_not_current"
    receipt = technician.do("complete_visit", technician.done(late))
    assert codes(world.owner, receipt.incidents) == ["visit_of_held_client"]


def test_a_visit_made_without_signal_and_told_days_later(world: World) -> None:
    """What counts is how things stood when it was done, by the phone that did it."""
    technician = world.technician
    start = technician.ready(world.client)
    began = technician.now
    ended = technician.now
    both = [
        technician.envelope("start_visit", start, at=began),
        technician.envelope("complete_visit", technician.done(start), at=ended),
    ]
    technician.later(days=4)
    receipts = technician.deliver(*both)
    assert [(r.status, r.incidents) for r in receipts] == [("applied", []), ("applied", [])]


def test_a_clearance_that_ended_in_the_meantime(world: World) -> None:
    technician = world.technician
    start = technician.ready(world.client, health=NEEDS_WORD)
    receipt = technician.do("complete_visit", technician.done(start))
    told = fresh(world.owner).of("incident")[receipt.incidents[0]]
    assert told["reasons"] == ["needs_clearance"]


def test_two_visits_cannot_begin_for_one_booking(world: World) -> None:
    technician = world.technician
    start = technician.ready(world.client)
    technician.do("start_visit", start)
    assert world.owner.no("start_visit", {**start, "visit": ident()}) == "booking_closed"
    assert technician.no("start_visit", start) == "id_taken"


def test_an_older_screen_starts_nothing(world: World) -> None:
    technician = world.technician
    start = technician.ready(world.client)
    technician.later(minutes=5).screen(world.client)
    late = {**start, "started_at": technician.stamp()}
    assert technician.no("start_visit", late) == "not_newest"


@pytest.mark.parametrize(
    ("record", "breach"),
    [
        ({"bits": [{"family": "carbide_tapered", "head_mm": 2, "rpm": 36_000, "places": []},
                   {"family": "diamond_large", "head_mm": 6, "rpm": 9_000, "places": []}]},
         "too_fast"),
        ({"bits": [{"family": "diamond_large", "head_mm": 6, "rpm": 9_000, "places": ["crack"]}]},
         "bit_in_crack"),
        ({"bits": [{"family": "invented", "head_mm": 6, "rpm": 9_000, "places": []}]},
         "bit_not_allowed"),
        ({"bits": [{"family": "carbide_ball", "head_mm": 3, "rpm": 20_000, "places": []}]},
         "not_finished_smooth"),
    ],
)  # fmt: skip
def test_work_past_the_limits_is_kept_and_reviewed(
    world: World, record: dict[str, Any], breach: str
) -> None:
    """Figures of the book's limits for everyone: common practice, no source."""
    technician = world.technician
    start = technician.ready(world.client, foot=None)
    technician.do("start_visit", start)
    receipt = technician.do("complete_visit", technician.done(start, **record))
    told = fresh(world.owner).of("incident")[receipt.incidents[0]]
    assert told["code"] == "outside_limits"
    assert breach in told["reasons"]
    assert Visit.objects.get(pk=start["visit"]).state == "under_review"


@pytest.mark.parametrize(
    ("percent", "minutes", "breach"),
    [
        (40, 3, None),
        (41, 3, "softener_too_strong"),
        (20, 4, "softener_too_long"),
        (20, None, "softener_not_taken_off"),
        (20, -5, "softener_not_taken_off"),
    ],
)
def test_softener_left_on_or_too_strong(
    world: World, percent: float, minutes: int | None, breach: str | None
) -> None:
    """2 to 3 minutes, and at most 40 percent for whole skin: common practice, no source."""
    technician = world.technician
    start = technician.ready(world.client)
    technician.later(minutes=30)
    use = {
        "product": "Urea cream",
        "urea_percent": percent,
        "placed_at": technician.stamp(minutes=-20),
        "removed_at": None if minutes is None else technician.stamp(minutes=-20 + minutes),
        "places": ["heel"],
    }
    receipt = technician.do("complete_visit", technician.done(start, softeners=[use]))
    told = fresh(world.owner).of("incident")
    assert [told[id_]["reasons"] for id_ in receipt.incidents] == ([[breach]] if breach else [])


def test_it_cannot_end_before_it_is_told(world: World) -> None:
    technician = world.technician
    start = technician.ready(world.client)
    assert (
        technician.no("complete_visit", technician.done(start, ended_at=technician.stamp(hours=2)))
        == "date_too_late"
    )


def test_closing_an_incident(world: World) -> None:
    technician = world.technician
    start = technician.ready(world.client, health=REFERRED)
    (incident,) = technician.do("complete_visit", technician.done(start)).incidents
    args = {"incident": str(incident), "note": "Talked it over"}
    assert technician.no("close_incident", args) == "not_allowed"
    world.owner.do("close_incident", args)
    told = fresh(technician).of("incident")[incident]
    assert told["closing_note"] == "Talked it over"
    assert told["closed_at"] is not None
    assert world.owner.no("close_incident", args) == "closed_already"
