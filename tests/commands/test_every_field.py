"""For every field of every command: missing, of another kind, of another practice, unknown.

Each time a typed refusal that names the field and what to do, quotes nothing, and writes nothing.
"""

import json
from collections.abc import Iterator
from typing import Any

import pytest

from heelwright.commandlog import permissions, registry
from heelwright.commandlog.models import LoggedArgs
from heelwright.commandlog.wire import Receipt
from heelwright.declarations import Role
from heelwright.visits.models import Visit
from tests.commands.examples import EXAMPLES, Furnished
from tests.database import everything, without_log
from tests.sync.phone_model import fresh

MARKER = "zqxmarker7"
LIST: Any = [MARKER, [MARKER]]
OBJECT: Any = {f"{MARKER} typed": MARKER}
FIELDS = [
    (name, field)
    for name, spec in sorted(registry.commands().items())
    for field in spec.args.model_fields
]
# What is refused before anything is read: one field of each command shows on PostgreSQL too that
# nothing is written but the log.
FIRST = dict(reversed(FIELDS))
every_refusal = pytest.mark.parametrize(
    ("name", "field"),
    [
        pytest.param(*each, marks=() if FIRST[each[0]] == each[1] else pytest.mark.one_database)
        for each in FIELDS
    ],
)


def refused(furnished: Furnished, name: str, args: dict[str, Any]) -> Receipt:
    """Send it and see that it changed nothing but the log, where everything typed can be found."""
    hand = furnished.world.hands[EXAMPLES[name].by]
    before = without_log(everything())
    envelope = hand.envelope(name, args)
    receipt = hand.deliver(envelope)[0]
    assert receipt.status == "refused"
    assert without_log(everything()) == before
    kept = LoggedArgs.objects.get(command_id=envelope.id)
    assert kept.sealed == args
    assert receipt.refusal is not None
    assert receipt.refusal.text
    assert receipt.refusal.remedy
    assert MARKER not in json.dumps(receipt.model_dump(mode="json"))
    return receipt


@every_refusal
def test_missing(furnished: Furnished, name: str, field: str) -> None:
    args = EXAMPLES[name].args(furnished)
    args.pop(field, None)
    if not registry.commands()[name].args.model_fields[field].is_required():
        furnished.world.hands[EXAMPLES[name].by].do(name, args)
        return
    refusal = refused(furnished, name, args).refusal
    assert refusal is not None
    assert (refusal.code, refusal.field) == ("missing_field", field)


@every_refusal
def test_of_another_kind(furnished: Furnished, name: str, field: str) -> None:
    good = EXAMPLES[name].args(furnished)
    # An answer to a question that this edition does not know is passed over, not refused.
    for value in [LIST] if field == "answers" else [LIST, OBJECT]:
        refusal = refused(furnished, name, {**good, field: value}).refusal
        assert refusal is not None
        assert refusal.field is not None
        assert refusal.field.split(".")[0] == field


@every_refusal
def test_no_character_that_cannot_be_kept(furnished: Furnished, name: str, field: str) -> None:
    good = EXAMPLES[name].args(furnished)
    for odd in ("a\x00b" + MARKER, "half \ud83d" + MARKER):
        refusal = refused(furnished, name, {**good, field: odd}).refusal
        assert refusal is not None
        assert (refusal.code, refusal.field) == ("odd_character", field)


@pytest.mark.parametrize("name", sorted(EXAMPLES))
def test_a_field_that_is_not_known(furnished: Furnished, name: str) -> None:
    good = EXAMPLES[name].args(furnished)
    refusal = refused(furnished, name, {**good, "invented_field": MARKER}).refusal
    assert refusal is not None
    assert (refusal.code, refusal.field) == ("unknown_field", "invented_field")
    refusal = refused(furnished, name, {**good, f"{MARKER} typed here": 1}).refusal
    assert refusal is not None
    assert (refusal.code, refusal.field) == ("unknown_field", None)


def pointing() -> Iterator[tuple[str, str]]:
    """The fields that point at rows which are there already."""
    points = {"client", "stays", "goes", "booking", "screen", "check", "consent", "staff",
              "clearance", "device", "facility", "referral", "row", "incident",
              "mishap", "offer", "vehicle", "watch", "paper", "item", "sale",
              "invoice"}  # fmt: skip
    for name, field in FIELDS:
        if field in points and field not in EXAMPLES[name].fresh:
            yield name, field


@pytest.mark.parametrize(("name", "field"), list(pointing()))
def test_an_id_of_another_practice(furnished: Furnished, name: str, field: str) -> None:
    args = {**EXAMPLES[name].args(furnished), field: furnished.foreign[field]}
    theirs = fresh(furnished.world.stranger).rows
    if name == "complete_visit" and field != "client":
        receipt = furnished.technician.do(name, args)
        told = fresh(furnished.world.owner).of("incident")
        assert [told[id_]["reasons"] for id_ in receipt.incidents] == [[field]]
        assert Visit.objects.get(pk=args["visit"]).state == "under_review"
    else:
        refusal = refused(furnished, name, args).refusal
        assert refusal is not None
        assert refusal.field == field
        assert refusal.code in ("not_found", "not_newest")
    assert fresh(furnished.world.stranger).rows == theirs


@pytest.mark.parametrize("name", sorted(n for n, e in EXAMPLES.items() if e.fresh))
def test_a_new_id_that_another_practice_has(furnished: Furnished, name: str) -> None:
    """Told as taken, with nothing of whose it is; the other practice's row stays as it was."""
    (field,) = EXAMPLES[name].fresh
    stranger = furnished.world.stranger
    known = {} if name in OF_THE_KIT else furnished.foreign
    kept = field not in ("clearance", "visit", "step", "sheet") and known.get(field)
    theirs = kept or _made_by_the_stranger(furnished, name, field)
    before = fresh(stranger).rows
    args = {**EXAMPLES[name].args(furnished), field: theirs}
    refusal = refused(furnished, name, args).refusal
    assert refusal is not None
    assert (refusal.code, refusal.field) == ("id_taken", field)
    assert fresh(stranger).rows == before


OF_THE_KIT = {
    "record_travel",
    "set_price",
    "record_sale",
    "record_payment",
    "change_bag",
    "move_set",
    "end_load",
    "record_machine_check",
    "change_stock",
    "sign_checklist",
    "give_set",
}


def _made_by_the_stranger(furnished: Furnished, name: str, field: str) -> str:
    stranger, client = furnished.world.stranger, furnished.foreign["client"]
    if name in OF_THE_KIT:
        args = EXAMPLES[name].args(furnished)
        named = (args.keys() & furnished.foreign.keys()) - {field}
        foreign: dict[str, Any] = {key: furnished.foreign[key] for key in named}
        there = {
            "after": furnished.foreign_kit.head,
            "client": furnished.foreign_kit.visit["client"],
        }
        foreign |= {key: there[key] for key in args.keys() & there.keys()}
        stranger.do(name, {**args, **foreign})
        return str(args[field])
    if made := {"clearance": "record_clearance", "sheet": "record_consent_sheet"}.get(field):
        args = EXAMPLES[made].args(furnished)
        stranger.do(made, {**args, "client": client})
        return str(args[field])
    if field == "step":
        args = EXAMPLES["record_referral_step"].args(furnished)
        stranger.do("record_referral_step", {**args, "referral": furnished.foreign["referral"]})
        return str(args["step"])
    client = stranger.register()
    start = stranger.ready(client, booking=stranger.book(client, starts_at=stranger.stamp(days=1)))
    stranger.do("start_visit", start)
    return str(start["visit"])


def not_for_this_role() -> Iterator[tuple[str, str, str]]:
    for name, spec in sorted(registry.commands().items()):
        for role, fields in permissions.table()["commands"][name].items():
            for field in spec.args.model_fields:
                if fields != "all" and field not in fields:
                    yield name, role, field


@pytest.mark.parametrize(("name", "role", "field"), list(not_for_this_role()))
def test_a_field_that_is_not_for_this_role(
    furnished: Furnished, name: str, role: str, field: str
) -> None:
    hand = furnished.world.coordinator
    assert hand.staff.role == Role(role)
    before = without_log(everything())
    good = EXAMPLES[name].args(furnished)
    allowed = permissions.table()["commands"][name][role]
    args = {each: value for each, value in good.items() if each in allowed}
    refusal = hand.send(name, {**args, field: good.get(field, [])}).refusal
    assert refusal is not None
    assert (refusal.code, refusal.field) == ("field_not_allowed", field)
    assert without_log(everything()) == before


def test_a_changed_field_that_is_not_for_this_role(furnished: Furnished) -> None:
    hand = furnished.world.coordinator
    change = {"client": furnished.world.resident, "seen": 10_000, "changes": {"note": MARKER}}
    refusal = hand.send("amend_client", change).refusal
    assert refusal is not None
    assert (refusal.code, refusal.field) == ("field_not_allowed", "changes.note")
    assert MARKER not in refusal.model_dump_json()
