"""What a phone might send of the kit to have a set that was used taken for clean, or a use lost.
Check: our own rules, docs/decisions/0180-what-a-set-has-been-through.md; that instruments go
through a complete cycle between two clients, Cal. Code Regs. 16 CCR 979(a)."""

from datetime import datetime, timedelta
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from heelwright.commandlog.device_clock import CLOCKS_BEGIN
from heelwright.commandlog.models import Incident
from heelwright.kit.feed import left_of
from heelwright.kit.models import Follows, Step, Thing, Use
from tests.factories import ident
from tests.kit.conftest import Kit, kit
from tests.kit.hands import STEAM, lot_card, product_card, set_card
from tests.kit.test_sets import asked, begun, stands
from tests.sync.phone_model import fresh
from tests.world import Hand

__all__ = ["kit"]

pytestmark = pytest.mark.django_db


def refused(hand: Hand, name: str, args: dict[str, Any]) -> tuple[str, str | None]:
    refusal = hand.send(name, args).refusal
    assert refusal is not None
    return refusal.code, refusal.field


def test_a_ring_of_steps_hides_no_use(kit: Kit) -> None:
    """Two steps that follow each other would leave no last step behind the use; a packing by the
    old cycle would then be the only one."""
    phone = kit.technician
    phone.through(kit.machine, kit.set)
    cycle, pack = Step.objects.get(what="cycle"), Step.objects.get(what="pack")
    assert asked(phone, kit.set, begun(phone.hand, kit.world.client)) == "yes"
    (use,) = phone.heads[kit.set]
    first, second, again = ident(), ident(), ident()

    def move(step: str, what: str, after: list[str], **more: Any) -> None:
        told = {"step": step, "set": kit.set, "what": what, "after": after, **more}
        phone.do("move_set", {**told, "at": phone.hand.stamp()})

    move(first, "take_out", [use, second])
    move(second, "take_out", [first])
    move(again, "pack", [str(cycle.pk)], end=str(pack.end))
    assert stands(kit).state == "unclear"
    phone.heads[kit.set] = [again]
    other = begun(phone.hand, phone.hand.register())
    assert asked(phone, kit.set, other) == "changed_since"


def test_one_step_is_of_one_set(kit: Kit) -> None:
    phone = kit.technician
    other, step = phone.register(set_card("Another set")), ident()
    inside = [{"set": one, "step": step, "after": []} for one in (kit.set, other)]
    load = {"load": ident(), "sets": inside, "process": STEAM, "machine": kit.machine}
    told = {**load, "started_at": phone.hand.stamp()}
    assert refused(phone.hand, "start_load", told) == ("id_twice", "sets")


@pytest.mark.parametrize("second", ["sets", "items", "products"])
def test_two_uses_under_one_id_are_not_taken_for_one(kit: Kit, second: str) -> None:
    phone = kit.technician
    used = phone.used(kit.set)
    named = {"use": used["use"], "at": used["at"]}
    others = {
        "sets": {**named, "set": phone.register(set_card("Another set")), "after": []},
        "items": {**named, "lot": phone.register(lot_card()), "count": 1},
        "products": {**named, "product": phone.register(product_card())},
    }
    told: dict[str, list[dict[str, Any]]] = {"sets": [used]}
    told[second] = [*told.get(second, []), others[second]]
    done = phone.hand.done(begun(phone.hand, kit.world.client), kit=told)
    assert refused(phone.hand, "complete_visit", done) == ("id_twice", "kit")


def test_a_set_that_was_given_cannot_stand_for_another(kit: Kit) -> None:
    phone = kit.technician
    dirty = phone.register(set_card("Another set"))
    phone.through(kit.machine, kit.set)
    visit = begun(phone.hand, kit.world.client)
    given = phone.give(kit.set, visit)
    phone.send()
    done = phone.hand.done(visit, kit={"sets": [{**given, "set": dirty, "after": []}]})
    assert refused(phone.hand, "complete_visit", done) == ("id_taken", "kit")
    phone.hand.do("complete_visit", {**done, "kit": {"sets": [given]}})
    assert Use.objects.get().flags == []


def test_nobody_uses_up_another_practices_lot(kit: Kit) -> None:
    lot = Thing.objects.get(pk=kit.technician.register(lot_card()))
    stranger = kit.world.stranger
    item = {"use": ident(), "lot": str(lot.pk), "count": 99, "at": stranger.stamp()}
    visit = begun(stranger, stranger.register())
    stranger.do("complete_visit", stranger.done(visit, kit={"items": [item]}))
    assert left_of([lot])[lot.pk] == 100


def test_a_phone_that_is_shut_out_makes_no_set_clean(kit: Kit) -> None:
    """What speaks against a set is taken from it all the same."""
    phone, owner = kit.technician, kit.owner
    phone.move(kit.set, "wash")
    load = phone.start(kit.set, process=STEAM, machine=kit.machine)
    phone.send()
    named = {"device": str(phone.hand.device.pk), "save_unsent": True}
    kit.world.owner.do("revoke_device", named)
    for each in (phone, owner):
        each.hand.later(minutes=30)

    end = phone.end(load)
    phone.move(kit.set, "pack", end=end)
    codes = [receipt.refusal and receipt.refusal.code for receipt in phone.send()]
    assert codes == ["device_revoked", "device_revoked"]
    at = {"tested_at": phone.hand.stamp(), "read_at": phone.hand.stamp()}
    check = {"machine": kit.machine, "kind": "spore_test", **at}
    good = {"check": ident(), "passed": True, **check}
    assert phone.hand.no("record_machine_check", good) == "device_revoked"
    told = Incident.objects.filter(code="not_taken_from_revoked_device")
    assert [one.reasons for one in told.order_by("pk")] == [
        ["end_load"],
        ["move_set"],
        ["record_machine_check"],
    ]

    end = owner.look().end(load)
    owner.move(kit.set, "pack", end=end)
    owner.send()
    assert stands(kit).state == "clean"
    phone.end(load, interrupted=True)
    assert phone.send()[0].refusal is None
    assert stands(kit).reasons == ("interrupted",)
    phone.hand.do("record_machine_check", {"check": ident(), "passed": False, **check})
    assert stands(kit).reasons == ("interrupted", "pulled_back")


def test_a_card_that_is_changed_meanwhile_ends_no_contact_time_sooner(kit: Kit) -> None:
    """Nor a cycle that the server had not heard of yet."""
    phone, owner = kit.technician, kit.owner
    ready = {"stock_percent": None, "use_ppm": None, "mixed_keeps_hours": None}
    handpiece = phone.register(set_card("Handpiece", {"kind": "handpiece"}))
    product = phone.register(product_card(contact_minutes=10, **ready))
    shown = {
        "level": "disinfect",
        "minutes": 10,
        "celsius": None,
        "indicator": False,
        "storage_days": 365,
    }
    phone.move(handpiece, "wash")
    load = phone.start(handpiece, product=product, shown=shown)
    card = product_card(contact_minutes=1, **ready)
    owner.do("amend_thing", {"thing": product, "seen": 10_000, "card": card})
    phone.hand.later(minutes=2)
    phone.end(load, held_minutes=None, celsius=None, indicator="not_read")
    assert [receipt.refusal for receipt in phone.send()] == [None, None, None]
    assert stands(kit, handpiece).reasons == ("too_short",)


@pytest.mark.parametrize("started", ["with a clock", "without"])
def test_a_clock_that_lost_its_time_shortens_no_contact_time(kit: Kit, started: str) -> None:
    """Its times count from their receipt, and an end may be sent long after."""
    phone = kit.technician
    ready = {"stock_percent": None, "use_ppm": None, "mixed_keeps_hours": None}
    handpiece = phone.register(set_card("Handpiece", {"kind": "handpiece"}))
    product = phone.register(product_card(contact_minutes=10, **ready))
    phone.move(handpiece, "wash")
    lost = CLOCKS_BEGIN + timedelta(minutes=3)
    at = phone.hand.now if started == "with a clock" else lost
    load = phone.start(handpiece, product=product, started_at=at.isoformat())
    told = {"ended_at": lost.isoformat(), "held_minutes": None, "celsius": None}
    phone.end(load, **told, indicator="not_read")
    wash, start, end = (
        phone.hand.envelope(name, args, made_at)
        for (name, args, _), made_at in zip(phone.outbox, (phone.hand.now, at, lost), strict=True)
    )
    phone.hand.deliver(wash, start)
    phone.hand.later(hours=2)
    assert phone.hand.deliver(end)[0].refusal is None
    assert stands(kit, handpiece).reasons == ("too_short",)


def test_a_clock_that_is_ahead_shortens_no_contact_time(kit: Kit) -> None:
    """What it tells counts from its receipt, and an end may be sent long after. Its own phone still
    counts from the start as it had it: by the server's time it would be over at once."""
    phone = kit.technician
    ready = {"stock_percent": None, "use_ppm": None, "mixed_keeps_hours": None}
    handpiece = phone.register(set_card("Handpiece", {"kind": "handpiece"}))
    product = phone.register(product_card(contact_minutes=10, **ready))
    phone.move(handpiece, "wash")
    ahead = phone.hand.stamp(hours=1)
    load = phone.start(handpiece, product=product, started_at=ahead)
    told = {"ended_at": phone.hand.stamp(hours=1, minutes=1), "held_minutes": None}
    phone.end(load, **told, celsius=None, indicator="not_read")
    wash, start, end = (
        phone.hand.envelope(name, args, at + timedelta(hours=1)) for name, args, at in phone.outbox
    )
    phone.hand.deliver(wash, start)
    (row,) = fresh(phone.hand).of("kit_load").values()
    assert datetime.fromisoformat(row["phone_at"]) == datetime.fromisoformat(ahead)
    phone.hand.later(hours=2)
    assert phone.hand.deliver(end)[0].refusal is None
    assert stands(kit, handpiece).reasons == ("too_short",)


def taken_along(kit: Kit, times: int) -> None:
    """The set was taken along and put back, and neither used nor washed meanwhile."""
    pack = Step.objects.get(what="pack")
    told = {"practice": pack.practice, "staff": pack.staff, "received_at": pack.received_at}
    moves = ["take_out", "put_back"] * (times // 2)
    steps = [
        Step(id=ident(), thing=pack.thing, what=what, at=pack.at, note="", **told) for what in moves
    ]
    Step.objects.bulk_create(steps)
    earlier = [pack, *steps]
    Follows.objects.bulk_create(
        Follows(step=step, before=before.pk) for before, step in zip(earlier, steps, strict=False)
    )
    kit.technician.heads[kit.set] = [str(steps[-1].pk)]


@pytest.mark.parametrize("times", [100, 3000])
def test_a_long_line_of_steps_holds_nobody_up(kit: Kit, times: int) -> None:
    """Under the practice's lock: one statement for each step would take minutes."""
    kit.technician.through(kit.machine, kit.set)
    taken_along(kit, times)
    visit = begun(kit.world.technician, kit.world.client)
    with CaptureQueriesContext(connection) as queries:
        assert asked(kit.technician, kit.set, visit) == "yes"
        kit.world.technician.pull()
    assert len(queries) < 300
