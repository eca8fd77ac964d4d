"""A set's life on the server: what may go to a client, and what is kept and flagged all the same.
Check: the rule that instruments go through cleaning and a complete cycle between two clients, Cal.
Code Regs. 16 CCR 979(a) and Tex. 16 TAC 83.106; how that is told apart is our own."""

from datetime import timedelta
from typing import Any

import pytest

from heelwright.commandlog.models import Incident
from heelwright.kit.facts import facts_of
from heelwright.kit.models import Load, Step, Thing, Use
from heelwright.kit.rules.standing import Standing
from heelwright.visits.models import Visit
from tests.kit.conftest import Kit
from tests.kit.hands import STEAM, KitHand, mix_args, product_card, set_card
from tests.world import Hand

pytestmark = pytest.mark.django_db


def stands(kit: Kit, of: str | None = None) -> Standing:
    thing = Thing.objects.get(pk=of or kit.set)
    return facts_of([thing])[thing.pk].standing(kit.technician.hand.now)


def begun(hand: Hand, client: str) -> dict[str, Any]:
    """A visit that has started."""
    booking = hand.book(client, starts_at=hand.stamp(hours=hand.seq))
    start = hand.ready(client, booking=booking)
    hand.do("start_visit", start)
    return start


def asked(hand: KitHand, of: str, visit: dict[str, Any]) -> str:
    """Whether a set may be used: "yes", or the code of the refusal."""
    hand.give(of, visit)
    refusal = hand.send()[-1].refusal
    return refusal.code if refusal else "yes"


def test_a_new_set_needs_a_cycle_first(kit: Kit) -> None:
    assert stands(kit).state == "dirty"
    visit = begun(kit.world.technician, kit.world.client)
    assert asked(kit.technician, kit.set, visit) == "no_cycle_yet"
    assert not Step.objects.exists() and not Use.objects.exists()


def test_through_a_whole_cycle_it_may_go_to_a_client(kit: Kit) -> None:
    kit.technician.through(kit.machine, kit.set)
    assert stands(kit).state == "clean"
    kit.technician.move(kit.set, "take_out")
    visit = begun(kit.world.technician, kit.world.client)
    assert asked(kit.technician, kit.set, visit) == "yes"
    assert stands(kit).state == "in_use"
    use = Use.objects.get()
    assert use.flags == [] and use.loads.count() == 1


def test_not_twice_without_a_cycle_between(kit: Kit) -> None:
    kit.technician.through(kit.machine, kit.set)
    assert asked(kit.technician, kit.set, begun(kit.world.technician, kit.world.client)) == "yes"
    other = begun(kit.world.technician, kit.world.technician.register())
    assert asked(kit.technician, kit.set, other) == "not_clean"


@pytest.mark.parametrize(
    ("ended", "why"),
    [
        ({"held_minutes": 3.5}, "too_short"),
        ({"celsius": 131}, "too_cool"),
        ({"indicator": "failed"}, "indicator_failed"),
        ({"indicator": "not_read"}, "indicator_not_read"),
        ({"interrupted": True}, "interrupted"),
        ({"held_minutes": None}, "time_not_read"),
        ({"celsius": None}, "heat_not_read"),
    ],
)
def test_a_cycle_that_fell_short_starts_again(kit: Kit, ended: dict[str, Any], why: str) -> None:
    """4 minutes at 132 degrees: CDC Guideline for Disinfection and Sterilization 2008, Table 7."""
    kit.technician.through(kit.machine, kit.set, **ended)
    assert stands(kit).state == "dirty" and why in stands(kit).reasons
    visit = begun(kit.world.technician, kit.world.client)
    assert asked(kit.technician, kit.set, visit) == why
    # Nobody has to wash it again: it was not used meanwhile.
    load = kit.technician.look().start(kit.set, process=STEAM, machine=kit.machine)
    kit.world.technician.later(minutes=30)
    end = kit.technician.end(load)
    kit.technician.move(kit.set, "pack", end=end)
    kit.technician.send()
    assert "not_washed" in stands(kit).reasons


def test_a_cycle_begun_again_before_packing_counts(kit: Kit) -> None:
    kit.technician.move(kit.set, "wash")
    ends = []
    for interrupted in (True, False):
        load = kit.technician.start(kit.set, process=STEAM, machine=kit.machine)
        kit.world.technician.later(minutes=30)
        ends.append(kit.technician.end(load, interrupted=interrupted))
    kit.technician.move(kit.set, "pack", end=ends[1])
    kit.technician.send()
    assert stands(kit).state == "clean"


def test_of_two_ends_the_worse_counts(kit: Kit) -> None:
    load = kit.technician.through(kit.machine, kit.set)
    assert stands(kit).state == "clean"
    kit.technician.end(load, indicator="failed")
    kit.technician.send()
    assert stands(kit).reasons == ("indicator_failed",)


def test_packed_before_the_cycle_ended_it_is_not_clean(kit: Kit) -> None:
    """Whoever ends the cycle later does not know that a set was taken out of it."""
    kit.technician.move(kit.set, "wash")
    load = kit.technician.start(kit.set, process=STEAM, machine=kit.machine)
    kit.technician.move(kit.set, "pack")
    kit.world.technician.later(minutes=30)
    kit.technician.end(load)
    kit.technician.send()
    assert stands(kit).reasons == ("packed_early",)


def test_bleach_does_for_a_handpiece_and_not_for_a_bit(kit: Kit) -> None:
    """Spaulding's classes, CDC 2008: what pierces or touches broken skin is sterilised."""
    hand = kit.technician
    handpiece = hand.register(set_card("Handpiece", {"kind": "handpiece"}))
    product = hand.register(product_card(stock_percent=None, use_ppm=None, mixed_keeps_hours=None))
    for one in (kit.set, handpiece):
        hand.move(one, "wash")
    load = hand.start(kit.set, handpiece, product=product)
    hand.hand.later(minutes=11)
    end = hand.end(load, held_minutes=None, celsius=None, indicator="not_read")
    for one in (kit.set, handpiece):
        hand.move(one, "pack", end=end)
    hand.send()
    assert stands(kit, handpiece).state == "clean"
    assert stands(kit).reasons == ("cycle_not_enough",)


def test_a_contact_time_that_was_cut_short(kit: Kit) -> None:
    hand = kit.technician
    handpiece = hand.register(set_card("Handpiece", {"kind": "handpiece"}))
    product = hand.register(product_card(stock_percent=None, use_ppm=None, mixed_keeps_hours=None))
    hand.move(handpiece, "wash")
    load = hand.start(handpiece, product=product)
    hand.hand.later(minutes=9, seconds=50)
    hand.end(load, held_minutes=None, celsius=None, indicator="not_read")
    hand.send()
    assert stands(kit, handpiece).state == "washing"
    assert stands(kit, handpiece).reasons == ("too_short",)


LATER = ["solution_mixed_later"]


@pytest.mark.parametrize(
    ("minutes", "told", "faults"),
    [(0, 0, []), (-9, -9, []), (-11, -11, LATER), (-9, 0, LATER), (-1.1, 0, LATER)],
)
def test_in_a_solution_that_was_mixed_later(
    kit: Kit, minutes: float, told: float, faults: list[str]
) -> None:
    """Ten minutes are for the clocks of two phones, where the start is told at once; our own
    rule."""
    hand = kit.technician
    product = hand.register(product_card())
    hand.move(kit.set, "wash")
    at = {"mixed_at": hand.hand.stamp(), "keeps_until": hand.hand.stamp(hours=8)}
    mixed = mix_args(product=product, **at)
    hand.do("mix_solution", mixed)
    soak = {"product": product, "solution": mixed["solution"]}
    load = hand.start(kit.set, **soak, started_at=hand.hand.stamp(minutes=minutes))
    name, args, _ = hand.outbox.pop()
    hand.outbox.append((name, args, hand.hand.now + timedelta(minutes=told)))
    hand.send()
    assert Load.objects.get(pk=load).faults == faults


def test_a_set_keeps_to_its_day(kit: Kit) -> None:
    kit.technician.through(kit.machine, kit.set)
    kit.world.technician.later(days=364)
    assert stands(kit).state == "clean"
    kit.world.technician.later(days=2)
    assert stands(kit).reasons == ("out_of_date",)


def test_not_from_somebody_elses_box(kit: Kit) -> None:
    kit.technician.through(kit.machine, kit.set)
    kit.technician.move(kit.set, "take_out")
    kit.technician.send()
    visit = begun(kit.world.owner, kit.world.client)
    owner = kit.owner.look()
    assert asked(owner, kit.set, visit) == "in_anothers_box"
    owner.look().move(kit.set, "take_out")
    assert asked(owner, kit.set, visit) == "yes"


def test_two_phones_without_signal_and_one_set(kit: Kit) -> None:
    """Both uses are kept, both are flagged, and both clients are listed."""
    kit.technician.through(kit.machine, kit.set)
    mine = begun(kit.world.technician, kit.world.client)
    theirs = begun(kit.world.owner, kit.world.owner.register())
    kit.owner.look()
    here, there = kit.technician.give(kit.set, mine), kit.owner.give(kit.set, theirs)
    assert kit.technician.send()[-1].refusal is None
    assert kit.owner.send()[-1].refusal.code == "changed_since"  # type: ignore[union-attr]
    done = kit.world.owner.done(theirs, kit={"sets": [there]})
    kit.world.owner.do("complete_visit", done)
    assert stands(kit).state == "unclear"
    flags = {str(use.pk): use.flags for use in Use.objects.all()}
    assert flags == {
        here["use"]: ["used_twice"],
        there["use"]: ["changed_since", "used_twice"],
    }
    told = Incident.objects.filter(code="set_used_unready")
    clients = {str(one.client_ref) for one in told}
    assert clients == {mine["client"], theirs["client"]}
    assert {use.loads.get() for use in Use.objects.all()} == {Use.objects.all()[0].loads.get()}
    # A cycle that only one of them knew of does not make it clean.
    kit.technician.through(kit.machine, kit.set)
    assert stands(kit).state == "unclear"
    kit.technician.look().through(kit.machine, kit.set)
    assert stands(kit).state == "clean"


def test_used_again_with_no_cycle_both_clients_are_listed(kit: Kit) -> None:
    kit.technician.through(kit.machine, kit.set)
    first = begun(kit.world.technician, kit.world.client)
    assert asked(kit.technician, kit.set, first) == "yes"
    then = begun(kit.world.technician, kit.world.technician.register())
    done = kit.world.technician.done(then, kit={"sets": [kit.technician.used(kit.set)]})
    kit.world.technician.do("complete_visit", done)
    assert [use.flags for use in Use.objects.order_by("pk")] == [
        ["used_twice"],
        ["not_clean", "used_twice"],
    ]
    told = Incident.objects.filter(code="set_used_unready").values_list("client_ref", flat=True)
    assert {str(client) for client in told} == {first["client"], then["client"]}


def test_what_a_visit_tells_twice_is_kept_once(kit: Kit) -> None:
    kit.technician.through(kit.machine, kit.set)
    visit = begun(kit.world.technician, kit.world.client)
    used = kit.technician.give(kit.set, visit)
    kit.technician.send()
    done = kit.world.technician.done(visit, kit={"sets": [used]})
    kit.world.technician.do("complete_visit", done)
    assert Use.objects.get().flags == []
    assert not Incident.objects.exists()


def test_a_visit_with_a_dirty_set_goes_to_review(kit: Kit) -> None:
    visit = begun(kit.world.technician, kit.world.client)
    done = kit.world.technician.done(visit, kit={"sets": [kit.technician.used(kit.set)]})
    kit.world.technician.do("complete_visit", done)
    assert Visit.objects.get(pk=visit["visit"]).state == "under_review"
    assert Use.objects.get().flags == ["no_cycle_yet"]
