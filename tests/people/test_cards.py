"""The client's card: two people's changes merged field by field, and who sees whom."""

from datetime import date
from typing import Any
from uuid import UUID

import pytest
from hypothesis import given
from hypothesis import strategies as st

from heelwright.people.models import Client
from heelwright.people.rules import age_on, clashing_field
from tests.factories import client_args, ident
from tests.sync.phone_model import fresh
from tests.world import Hand, World, phone_of


def version(hand: Hand, client: str) -> int:
    return next(
        row[1] for (kind, id_), row in fresh(hand).rows.items()
        if kind == "client" and str(id_) == client
    )  # fmt: skip


def amend(hand: Hand, client: str, seen: int, **changes: Any) -> str | None:
    receipt = hand.send("amend_client", {"client": client, "seen": seen, "changes": changes})
    return receipt.refusal.code if receipt.refusal else None


def test_different_fields_are_merged(world: World) -> None:
    seen = version(world.technician, world.client)
    assert amend(world.owner, world.client, seen, phone="555 0111") is None
    assert amend(world.technician, world.client, seen, room="9") is None
    card = Client.objects.get(pk=world.client)
    assert (card.phone, card.room) == ("555 0111", "9")


def test_the_same_field_changed_on_both_sides_is_shown_to_a_person(world: World) -> None:
    seen = version(world.technician, world.client)
    assert amend(world.owner, world.client, seen, phone="555 0111") is None
    change = {"client": world.client, "seen": seen, "changes": {"phone": "555 0122", "room": "9"}}
    refusal = world.technician.send("amend_client", change).refusal
    assert refusal is not None
    assert (refusal.code, refusal.field) == ("changed_elsewhere", "changes.phone")
    card = Client.objects.get(pk=world.client)
    assert (card.phone, card.room) == ("555 0111", "")
    assert amend(world.technician, world.client, version(world.technician, world.client),
                 phone="555 0122") is None  # fmt: skip


def test_the_same_change_on_both_sides_is_no_clash(world: World) -> None:
    seen = version(world.technician, world.client)
    assert amend(world.owner, world.client, seen, phone="555 0111") is None
    assert amend(world.technician, world.client, seen, phone="555 0111") is None


def test_ones_own_earlier_change_is_no_clash_but_another_phones_is(world: World) -> None:
    seen = version(world.technician, world.client)
    assert amend(world.technician, world.client, seen, phone="1") is None
    assert amend(world.technician, world.client, seen, phone="2") is None
    tablet = phone_of(world.technician.staff, world.now)
    assert amend(tablet, world.client, seen, phone="3") == "changed_elsewhere"


@pytest.mark.parametrize(
    ("changes", "code"),
    [
        ({"born": "2999-01-01"}, "date_too_late"),
        ({"born": "1900-12-31"}, "date_too_early"),
        ({"name": None}, "missing_field"),
        ({"decides_for_self": None}, "missing_field"),
        ({"name": ""}, "too_short"),
        ({"email": "no address"}, "wrong_type"),
        ({"facility": "01a20000-0000-7000-8000-000000000001"}, "not_found"),
        ({"practice": "x"}, "unknown_field"),
    ],
)
def test_changes_that_cannot_be(world: World, changes: dict[str, Any], code: str) -> None:
    before = fresh(world.owner).rows
    assert amend(world.technician, world.client, 10_000, **changes) == code
    assert fresh(world.owner).rows == before


def test_a_coordinator_registers_into_their_facility_only(world: World) -> None:
    fields = {"client", "name", "born", "facility", "room"}
    args = {k: v for k, v in client_args().items() if k in fields}
    assert world.coordinator.no("register_client", args) == "missing_field"
    other = ident()
    world.owner.do("register_facility", {"facility": other, "name": "Elsewhere House"})
    assert world.coordinator.no("register_client", {**args, "facility": other}) == "not_found"
    world.coordinator.do("register_client", {**args, "facility": world.facility})
    assert args["client"] in {str(id_) for id_ in fresh(world.technician).of("client")}


def test_a_facility_tells_who_has_it(world: World) -> None:
    """The owner's phone knows it without asking, as soon as it was given."""
    phone = fresh(world.owner)
    args = {"facility": world.facility, "staff": world.colleague.id}
    before = {str(id_) for id_ in phone.of("facility")[UUID(world.facility)]["staff"]}
    world.owner.do("assign_facility", args)
    after = {str(id_) for id_ in phone.sync().of("facility")[UUID(world.facility)]["staff"]}
    assert after == before | {world.colleague.id}
    assert phone.rows == fresh(world.owner).rows


def test_an_address_to_sign_in_with_belongs_to_one_person(world: World) -> None:
    args = {"staff": ident(), "name": "Again", "email": "OWNER@HEELSIDE.example", "role": "owner"}
    assert world.owner.no("register_staff", args) == "email_taken"


def test_a_phone_cannot_switch_itself_off(world: World) -> None:
    own = {"device": str(world.owner.device.pk)}
    assert world.owner.no("revoke_device", own) == "own_device"
    phone_of(world.owner.staff, world.now).do("revoke_device", own)


def test_switching_off_twice_keeps_the_first_time(world: World) -> None:
    first = fresh(world.owner).of("device")[world.revoked.device.pk]["revoked_at"]
    world.owner.later(hours=1).do("revoke_device", {"device": str(world.revoked.device.pk)})
    assert fresh(world.owner).of("device")[world.revoked.device.pk]["revoked_at"] == first


@pytest.mark.parametrize(
    ("born", "day", "age"),
    [
        (date(1960, 11, 25), date(2026, 11, 24), 65),
        (date(1960, 11, 25), date(2026, 11, 25), 66),
        (date(2004, 2, 29), date(2026, 2, 28), 21),
        (date(2004, 2, 29), date(2026, 3, 1), 22),
    ],
)
def test_ages(born: date, day: date, age: int) -> None:
    assert age_on(born, day) == age


fields = st.dictionaries(st.sampled_from("abc"), st.integers(0, 3))


@given(st.integers(0, 9), st.dictionaries(st.sampled_from("abc"), st.integers(0, 9)), fields)
def test_what_nobody_changed_since_never_clashes(
    seen: int, versions: dict[str, int], changes: dict[str, int]
) -> None:
    now = dict.fromkeys("abc", 9)
    clash = clashing_field(seen, versions, now, changes)
    if clash is None:
        assert all(versions.get(f, 0) <= seen for f in changes)
    else:
        assert clash in changes
        assert versions[clash] > seen
