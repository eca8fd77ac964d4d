"""For every command of the registry: once is as good as twice, the feed tells all, and everyone
gets what they should. What is expected is derived from the permission table and the power."""

from typing import Any
from uuid import UUID

import pytest

from heelwright.commandlog import permissions, registry
from heelwright.commandlog.models import FeedRow, Incident
from heelwright.declarations import Power, Role
from heelwright.tenancy.signin import DeviceRevoked
from tests.commands.examples import EXAMPLES, Furnished
from tests.database import everything, of_practice, without_log
from tests.sync.phone_model import PhoneModel, fresh

COMMANDS = sorted(registry.commands())
every_command = pytest.mark.parametrize("name", COMMANDS)


def test_every_command_has_an_example() -> None:
    assert sorted(EXAMPLES) == COMMANDS


def allowed_args(name: str, role: Role, args: dict[str, Any]) -> dict[str, Any]:
    fields = permissions.table()["commands"][name].get(role.value, "all")
    return args if fields == "all" else {k: v for k, v in args.items() if k in fields}


@every_command
def test_twice_is_once(furnished: Furnished, name: str) -> None:
    example = EXAMPLES[name]
    hand = furnished.world.hands[example.by]
    envelope = hand.envelope(name, example.args(furnished))
    first = hand.deliver(envelope)[0]
    assert first.status == "applied", first.refusal
    after_once = everything()
    hand.later(hours=5)
    again = hand.deliver(envelope, envelope)
    assert everything() == after_once
    for receipt in again:
        assert receipt == first.model_copy(update={"status": "already_applied"})


@every_command
def test_twice_is_once_for_a_refusal_too(furnished: Furnished, name: str) -> None:
    example = EXAMPLES[name]
    hand = furnished.world.hands[example.by]
    envelope = hand.envelope(name, {"no_such_field": 1})
    first = hand.deliver(envelope)[0]
    assert first.refusal is not None
    before = everything()
    assert hand.deliver(envelope)[0].refusal == first.refusal
    assert everything() == before


@every_command
def test_base_and_feed_equal_a_fresh_pull(furnished: Furnished, name: str) -> None:
    example = EXAMPLES[name]
    world = furnished.world
    watching = [world.owner, world.technician, world.colleague, world.coordinator]
    phones = [PhoneModel(hand).sync() for hand in watching]
    world.hands[example.by].do(name, example.args(furnished))
    for phone in phones:
        assert phone.sync().rows == fresh(phone.hand).rows


@every_command
def test_the_feed_has_a_number_for_each_change_and_none_twice(
    furnished: Furnished, name: str
) -> None:
    example = EXAMPLES[name]
    hand = furnished.world.hands[example.by]
    before = _numbers(furnished)
    hand.do(name, example.args(furnished))
    after = _numbers(furnished)
    practice = furnished.world.practice
    practice.refresh_from_db()
    moved = {key: seq for key, seq in after.items() if before.get(key) != seq}
    assert all(seq > max(before.values()) for seq in moved.values())
    assert len(set(after.values())) == len(after)
    assert max(after.values()) <= practice.feed_seq


def _numbers(furnished: Furnished) -> dict[tuple[str, UUID], int]:
    rows = FeedRow.objects.filter(practice=furnished.world.practice)
    return {(row.kind, row.row_id): row.seq for row in rows}


def outcome_for(name: str, who: str) -> str:
    """applied, flagged, or the code of the refusal: from the permission table and the power."""
    example, spec = EXAMPLES[name], registry.commands()[name]
    roles = {"owner": "owner", "stranger": "owner", "coordinator": "coordinator"}
    if roles.get(who, "technician") not in permissions.table()["commands"][name]:
        return "not_allowed"
    points_at_rows = set(spec.args.model_fields) & (FOREIGN - set(example.fresh))
    if who == "stranger":
        return "not_found" if points_at_rows and name not in KEPT else "applied"
    if (who, name) in {("coordinator", "withdraw_consent"), ("colleague", "close_round")}:
        return "not_found"
    if who in ("colleague", "coordinator") and example.about_client:
        return "flagged" if spec.power is Power.REPORT else "not_found"
    may_as_well = who == "owner" and name in OF_ONESELF_OR_AN_OWNER
    if example.author_only and who != example.by and not may_as_well:
        return NOT_THE_AUTHOR.get(name, "not_yours")
    return "applied"


# Kept with whatever it names that the practice does not have: the cycle has been run.
KEPT = {"start_load"}
# A set goes to a client in the visit of whoever asks; a vehicle is its driver's alone.
NOT_THE_AUTHOR = {
    "give_set": "visit_not_begun",
    "amend_vehicle": "not_found",
    "record_travel": "not_found",
    "record_payment": "not_found",
    "move_watch": "not_found",
    "end_watch": "not_found",
    "remove_paper": "not_found",
    "end_calendar": "not_found",
}
OF_ONESELF_OR_AN_OWNER = {
    "record_payment",
    "set_working_week",
    "set_base",
    "add_time_off",
    "remove_time_off",
    "end_calendar",
    "record_paper",
    "remove_paper",
}
FOREIGN = set(
    "client stays goes staff facility device screen consent clearance referral row incident"
    " booking mishap photo offer thing set product lot load machine solution visit visits"
    " vehicle time_off watch paper item sale invoice round waiting link".split()
)


each_hand = pytest.mark.parametrize(
    "who",
    [
        *("technician", "stranger"),
        *(
            pytest.param(who, marks=pytest.mark.one_database)
            for who in ("owner", "colleague", "coordinator")
        ),
    ],
)


@every_command
@each_hand
def test_everyone_gets_what_they_should(furnished: Furnished, name: str, who: str) -> None:
    world, hand = furnished.world, furnished.world.hands[who]
    args = allowed_args(name, Role(hand.staff.role), EXAMPLES[name].args(furnished))
    before = without_log(of_practice(everything(), world.practice.pk))
    receipt = hand.send(name, args)
    expected = outcome_for(name, who)
    if expected == "applied":
        assert receipt.status == "applied", receipt.refusal
    elif expected == "flagged":
        assert receipt.status == "applied", receipt.refusal
        told = fresh(world.owner).of("incident")
        raised = Incident.objects.filter(command=receipt.id).values_list("pk", flat=True)
        assert "client_of_others" in {told[id_]["code"] for id_ in raised}
        # Who sees no incidents is not told that there is one.
        assert set(receipt.incidents) == set(raised) & set(fresh(hand).of("incident"))
        assert not set(receipt.incidents) & set(fresh(world.technician).of("incident"))
    else:
        assert receipt.refusal is not None
        assert receipt.refusal.code == expected
        assert without_log(of_practice(everything(), world.practice.pk)) == before
    if who == "stranger":
        assert without_log(of_practice(everything(), world.practice.pk)) == before


@every_command
def test_a_device_that_was_switched_off_gets_nothing_in(furnished: Furnished, name: str) -> None:
    before = everything()
    with pytest.raises(DeviceRevoked):
        furnished.world.revoked.send(name, EXAMPLES[name].args(furnished))
    assert everything() == before
