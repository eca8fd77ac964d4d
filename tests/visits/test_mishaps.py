"""What went wrong is kept whatever it says, in whatever order it comes, and closed by an owner who
has read all of it. Check: the project's own rule, docs/decisions/0156-what-went-wrong.md."""

from datetime import datetime, timedelta
from typing import Any
from uuid import UUID

import pytest

from heelwright.commandlog.wire import Envelope
from heelwright.visits.models import Visit
from tests.factories import REFERRED, ident, mishap_args
from tests.sync.phone_model import fresh
from tests.world import Hand, World, phone_of


def row(hand: Hand, mishap: str) -> dict[str, Any]:
    return fresh(hand).of("mishap")[UUID(mishap)]


def later(hand: Hand, mishap: str, **more: Any) -> Envelope:
    """An addition that is written now and not sent yet."""
    added = {"mishap": mishap, "entry": ident(), "added_at": hand.stamp(), **more}
    return hand.envelope("add_to_mishap", added)


def add(hand: Hand, mishap: str, **more: Any) -> None:
    assert hand.deliver(later(hand, mishap, **more))[0].status == "applied"


def close(hand: Hand, mishap: str, **more: Any) -> dict[str, Any]:
    return {"mishap": mishap, "entry": ident(), "note": "Read, and talked over", **more}


def version(hand: Hand, mishap: str) -> int:
    return fresh(hand).rows["mishap", UUID(mishap)][1]


def codes(hand: Hand) -> list[str]:
    return sorted(each["code"] for each in fresh(hand).of("incident").values())


def test_all_that_was_told_comes_back_to_whoever_has_the_client(world: World) -> None:
    technician = world.technician
    told = [{"who": "clinician", "name": "Nurse Invented", "at": technician.stamp()}]
    day, photo = technician.day(days=2), ident()
    mishap = technician.mishap(world.client, told=told, follow_up_on=day, photo=photo)
    for hand in (technician, world.owner):
        kept = row(hand, mishap)
        assert (kept["kind"], kept["places"]) == ("nick", ["left_heel"])
        assert kept["what_happened"] == "The bit slipped at the left heel"
        assert kept["first_aid_given"] == "Pressed for ten minutes, dressed"
        assert kept["told"][0]["name"] == "Nurse Invented"
        assert (kept["follow_up_on"], kept["photo"], kept["closed_at"]) == (day, photo, None)
    for hand in (world.colleague, world.coordinator, world.stranger):
        assert not fresh(hand).of("mishap")


@pytest.mark.parametrize(
    "odd",
    [
        {"kind": "word_of_another_edition"},
        {"visit": ident()},
        {"what_happened": "", "places": [], "first_aid_given": ""},
        {"places": ["nowhere_known"]},
        {"follow_up_on": "2099-12-31"},
    ],
    ids=lambda odd: next(iter(odd)),
)
def test_it_is_kept_whatever_it_says(world: World, odd: dict[str, Any]) -> None:
    assert row(world.owner, world.technician.mishap(world.client, **odd))["client"]


def test_a_clock_that_runs_ahead_costs_no_report(world: World) -> None:
    """It counts from when it was heard of."""
    technician = world.technician
    mishap = technician.mishap(world.client, happened_at=technician.stamp(days=2))
    assert datetime.fromisoformat(str(row(technician, mishap)["happened_at"])) == technician.now


def test_of_a_client_who_has_died_or_is_away(world: World) -> None:
    owner = world.owner
    changes = {"status": "died", "status_since": owner.day()}
    owner.do("amend_client", {"client": world.client, "seen": 10_000, "changes": changes})
    assert row(owner, world.technician.mishap(world.client))["kind"] == "nick"


@pytest.mark.parametrize("mishap_first", [True, False])
def test_before_its_visit_or_after_it(world: World, mishap_first: bool) -> None:
    """Neither waits for the other: a visit may be refused its start, or come from another phone."""
    technician = world.technician
    start = technician.ready(world.client)
    mishap = mishap_args(client=world.client, visit=start["visit"], happened_at=technician.stamp())
    names = ["report_mishap", "start_visit", "complete_visit"]
    done = technician.done(start, ended_early="A nick at the left heel")
    args = dict(zip(names, (mishap, start, done), strict=True))
    for name in names if mishap_first else names[::-1]:
        if name != "start_visit" or mishap_first:
            technician.do(name, args[name])
    assert Visit.objects.get(pk=start["visit"]).state == "ended_early"
    assert row(world.owner, str(mishap["mishap"]))["visit"] == start["visit"]


@pytest.mark.parametrize("mishap_first", [True, False])
@pytest.mark.parametrize("early", ["", "A nick at the left heel"])
def test_a_visit_that_stopped_is_not_told_as_whole(
    world: World, mishap_first: bool, early: str
) -> None:
    """Kept in either order, and under review once where the two do not fit."""
    technician = world.technician
    start = technician.ready(world.client)
    technician.do("start_visit", start)
    stopped = {"visit": start["visit"], "visit_stopped": True}
    if mishap_first:
        assert row(technician, technician.mishap(world.client, **stopped))["visit_stopped"]
    technician.do("complete_visit", technician.done(start, ended_early=early))
    technician.mishap(world.client, **stopped)
    state = Visit.objects.get(pk=start["visit"]).state
    assert (state, codes(world.owner)) == (
        ("ended_early", []) if early else ("under_review", ["visit_told_as_whole"])
    )


def test_what_stopped_another_visit_or_none_flags_nothing(world: World) -> None:
    technician = world.technician
    start = technician.ready(world.client)
    technician.do("start_visit", start)
    technician.mishap(world.client, visit=ident(), visit_stopped=True)
    technician.mishap(world.client, visit=start["visit"])
    technician.do("complete_visit", technician.done(start))
    assert Visit.objects.get(pk=start["visit"]).state == "completed"
    assert codes(world.owner) == []


def test_a_visit_under_a_hold_and_what_happened_in_it_name_each_other(world: World) -> None:
    """The owner finds them by the visit, which both name."""
    technician = world.technician
    start = technician.ready(world.client)
    technician.later(minutes=1).screen(world.client, REFERRED)
    technician.do("complete_visit", technician.done({**start, "started_at": technician.stamp()}))
    mishap = technician.mishap(world.client, visit=start["visit"], kind="stopped_midway")
    incidents = fresh(world.owner).of("incident").values()
    (held,) = [each for each in incidents if each["code"] == "visit_of_held_client"]
    assert held["about"] == "visit"
    assert held["about_id"] == row(world.owner, mishap)["visit"]


def test_additions_are_kept_in_the_order_in_which_they_came(world: World) -> None:
    technician, owner = world.technician, world.owner
    mishap = technician.mishap(world.client, follow_up_on=technician.day(days=1))
    told = [{"who": "family", "name": "Daughter", "at": technician.stamp()}]
    add(technician, mishap, told=told)
    add(owner, mishap, note="Called the house")
    kept = row(technician, mishap)
    assert [entry["note"] for entry in kept["entries"]] == ["", "Called the house"]
    assert [entry["staff"] for entry in kept["entries"]] == [technician.id, owner.id]
    assert kept["follow_up_on"] == technician.day(days=1)


def test_a_new_day_to_ask_after_them_and_an_outcome_that_ends_it(world: World) -> None:
    technician = world.technician
    mishap = technician.mishap(world.client, follow_up_on=technician.day(days=1))
    add(technician, mishap, follow_up_on=technician.day(days=5))
    assert row(technician, mishap)["follow_up_on"] == technician.day(days=5)
    add(technician.later(minutes=1), mishap, outcome="Healed, seen by the nurse")
    assert row(technician, mishap)["follow_up_on"] is None
    add(technician.later(minutes=1), mishap, outcome="Sore again", follow_up_on="2027-01-09")
    assert row(technician, mishap)["follow_up_on"] == "2027-01-09"


def test_of_two_days_set_without_signal_the_later_one_counts(world: World) -> None:
    technician, owner = world.technician, world.owner
    mishap = technician.mishap(world.client)
    late = later(technician, mishap, follow_up_on="2027-01-02")
    owner.now = technician.now + timedelta(hours=1)
    add(owner, mishap, follow_up_on="2027-01-05")
    technician.later(hours=2).deliver(late)
    assert row(owner, mishap)["follow_up_on"] == "2027-01-05"


def test_only_an_owner_closes_it_and_once(world: World) -> None:
    mishap = world.technician.mishap(world.client)
    assert world.technician.no("close_mishap", close(world.technician, mishap)) == "not_allowed"
    world.owner.do("close_mishap", close(world.owner, mishap))
    kept = row(world.technician, mishap)
    assert kept["closed_at"] is not None
    assert kept["entries"][-1]["note"] == "Read, and talked over"
    assert world.owner.no("close_mishap", close(world.owner, mishap)) == "closed_already"


def test_what_was_added_since_must_be_read_before_it_is_closed(world: World) -> None:
    owner = world.owner
    mishap = world.technician.mishap(world.client)
    seen = version(owner, mishap)
    add(world.technician, mishap, note="It bleeds again")
    assert owner.no("close_mishap", close(owner, mishap, seen=seen)) == "added_since"
    owner.do("close_mishap", close(owner, mishap, seen=version(owner, mishap)))


def test_what_comes_after_the_closing_opens_it_again(world: World) -> None:
    """Also where it was written before: the owner has not read it."""
    technician = world.technician
    mishap = technician.mishap(world.client, follow_up_on="2027-01-09")
    late = later(technician, mishap, note="Blister")
    world.owner.later(hours=1).do("close_mishap", close(world.owner, mishap))
    technician.later(hours=2).deliver(late)
    kept = row(world.owner, mishap)
    assert (kept["closed_at"], kept["follow_up_on"]) == (None, "2027-01-09")
    world.owner.later(hours=2).do("close_mishap", close(world.owner, mishap))
    assert row(world.owner, mishap)["closed_at"] is not None


def test_under_a_card_that_was_merged_away(world: World) -> None:
    technician, owner = world.technician, world.owner
    before = technician.mishap(world.client)
    add(technician, before, note="Called")
    late = later(technician, before)
    new = mishap_args(client=world.client, happened_at=technician.stamp())
    told = technician.envelope("report_mishap", new)
    owner.do("merge_clients", {"stays": world.resident, "goes": world.client})
    receipts = technician.deliver(late, told)
    assert [receipt.status for receipt in receipts] == ["applied", "applied"]
    for id_ in (before, str(new["mishap"])):
        assert row(technician, id_)["client"] == world.resident
    assert len(row(technician, before)["entries"]) == 2


def test_of_a_client_who_was_taken_away_it_is_kept_and_goes_to_the_owner(world: World) -> None:
    technician, owner = world.technician, world.owner
    before = technician.mishap(world.client)
    owner.do("unassign_client", {"client": world.client, "staff": technician.id})
    after = technician.mishap(world.client)
    add(technician, before, outcome="Healed")
    assert not fresh(technician).of("mishap")
    assert set(fresh(owner).of("mishap")) == {UUID(before), UUID(after)}
    assert codes(owner) == ["client_of_others", "client_of_others"]


def test_a_phone_that_is_shut_out_hands_its_reports_in_and_closes_nothing(world: World) -> None:
    owner = world.owner
    phone = phone_of(world.technician.staff, world.now)
    boss = phone_of(owner.staff, world.now)
    mishap = phone.mishap(world.client)
    for lost in (phone, boss):
        owner.do("revoke_device", {"device": str(lost.device.pk), "save_unsent": True})
    later = phone.mishap(world.client)
    add(phone, mishap, note="Blister")
    assert boss.no("close_mishap", close(boss, mishap)) == "device_revoked"
    assert row(owner, later)["closed_at"] is None
    assert len(row(owner, mishap)["entries"]) == 1
    assert codes(owner).count("from_revoked_device") == 2


def test_one_that_is_not_there(world: World) -> None:
    technician = world.technician
    lost = mishap_args(client=ident(), happened_at=technician.stamp())
    gone = {"mishap": ident(), "entry": ident(), "added_at": technician.stamp(), "note": "Blister"}
    assert technician.no("add_to_mishap", gone) == "not_found"
    assert technician.no("report_mishap", lost) == "not_found"
    assert world.owner.no("close_mishap", close(world.owner, ident())) == "not_found"
    theirs = world.stranger.mishap(world.stranger.register())
    assert technician.no("add_to_mishap", {**gone, "mishap": theirs}) == "not_found"


def test_it_holds_no_work_and_judges_no_visit_again(world: World) -> None:
    """A mishap tells what happened; whether work may start, the answers and the feet decide."""
    technician = world.technician
    technician.mishap(world.client, kind="bleeding")
    technician.do("start_visit", technician.ready(world.client))
    assert not codes(world.owner)
