"""A sitting at which a client says yes or no to each text. Check: our own rule, unless said."""

import json
import subprocess
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest
from django.db.models import ProtectedError

from heelwright.commandlog.models import Incident
from heelwright.commandlog.wire import Receipt
from heelwright.intake.consents import stands
from heelwright.intake.models import Consent, ConsentSheet
from heelwright.intake.shown import Shown, ShownText, canonical, digest
from heelwright.people.models import Client
from tests.factories import decision, ident, sheet_args, shown_of
from tests.world import Hand, World

PARITY = Path(__file__).parents[1] / "parity" / "shown.json"
CASES = json.loads(PARITY.read_text())["cases"]


@pytest.mark.parametrize("case", CASES, ids=lambda case: str(case["name"]))
def test_what_was_shown_has_one_form(case: dict[str, Any]) -> None:
    texts = [ShownText(**text) for text in case["shown"]["texts"]]
    shown = Shown(**{**case["shown"], "texts": texts})
    assert canonical(shown) == case["canonical"].encode()
    assert digest(shown) == case["sha256"]


def test_the_digests_are_those_of_another_program() -> None:
    for case in CASES:
        form = case["canonical"].encode()
        said = subprocess.run(["sha256sum"], input=form, capture_output=True, check=True)
        assert said.stdout.split()[0].decode() == case["sha256"]


def told(world: World, hand: Hand | None = None, **more: Any) -> dict[str, Any]:
    at = (hand or world.technician).stamp()
    return sheet_args(**{"client": world.client, "decided_at": at, **more})


def codes(receipt: Receipt) -> list[str]:
    return [Incident.objects.get(pk=one).code for one in receipt.incidents]


def holds(world: World, purpose: str = "treatment", **later: float) -> bool:
    at = datetime.fromisoformat(world.technician.stamp(**later))
    return stands(Client.objects.get(pk=world.client), at, purpose)


def test_each_text_is_decided_by_itself(world: World) -> None:
    args = told(world)
    assert codes(world.technician.do("record_consent_sheet", args)) == []
    assert (holds(world), holds(world, "photos"), holds(world, "sharing")) == (True, False, False)
    sheet = ConsentSheet.objects.get(pk=args["sheet"])
    assert sheet.picture.startswith("<svg")
    assert sheet.shown_sha256 == shown_of(args)
    rows = {str(row.id): row for row in world.owner.pull().rows}
    kinds = [rows[one["consent"]].kind for one in args["decisions"]]
    assert kinds == ["consent", "consent_choice"]
    assert rows[args["decisions"][0]["consent"]].row["sheet"] == args["sheet"]  # type: ignore[index]


def test_a_visit_rests_on_a_yes_of_a_sheet(world: World) -> None:
    hand = world.technician
    start = hand.ready(world.client, booking=hand.book(world.client))
    hand.do("withdraw_consent", {"consent": start["consent"], "withdrawn_at": hand.stamp()})
    args = told(world)
    hand.do("record_consent_sheet", args)
    yes, no = (one["consent"] for one in args["decisions"])
    start["started_at"] = hand.stamp()
    assert hand.no("start_visit", {**start, "consent": no}) == "not_found"
    hand.do("start_visit", {**start, "consent": yes})


def test_a_no_is_kept_with_who_when_and_what_was_said_and_ends_the_yes_before(world: World) -> None:
    hand = world.technician
    first = told(world)
    hand.do("record_consent_sheet", first)
    hand.later(minutes=5)
    no = told(
        world,
        decisions=[decision("foot_care", agreed=False)],
        how="unsigned",
        strokes=[],
        said="Not today, thank you",
    )
    assert codes(hand.do("record_consent_sheet", no)) == []
    assert not holds(world)
    row = {str(r.id): r.row for r in world.owner.pull().rows}
    kept, ended = row[no["decisions"][0]["consent"]], row[first["decisions"][0]["consent"]]
    assert kept is not None and ended is not None
    wanted = ("Not today, thank you", "Client Invented", False)
    assert (kept["said"], kept["signer_name"], kept["agreed"]) == wanted
    assert str(ended["withdrawn_at"])[:16] == no["decided_at"][:16]
    hand.later(minutes=5)
    hand.do("record_consent_sheet", told(world))
    assert holds(world)


def test_a_no_that_comes_late_ends_what_was_agreed_before_it_only(world: World) -> None:
    hand = world.technician
    late = told(world, decisions=[decision("foot_care", agreed=False)], how="unsigned", strokes=[])
    hand.later(minutes=5)
    hand.do("record_consent_sheet", told(world))
    hand.do("record_consent_sheet", late)
    assert holds(world)


@pytest.mark.parametrize(
    ("change", "code"),
    [
        ({"how": "unsigned", "strokes": []}, "no_signature"),
        ({"strokes": []}, "no_signature"),
        ({"how": "mark"}, "no_witness"),
        ({"how": "paper", "strokes": []}, "no_paper"),
        ({"signer_role": "representative"}, "no_authority"),
        ({"signer_role": "representative", "ground": "other"}, "no_authority"),
        ({"decisions": [decision("photos"), decision("photos", agreed=False)]}, "twice"),
    ],
)
def test_what_is_lacking_is_named(world: World, change: dict[str, Any], code: str) -> None:
    assert world.technician.no("record_consent_sheet", told(world, **change)) == code
    assert not ConsentSheet.objects.exists()


@pytest.mark.parametrize(
    "change",
    [
        {"how": "mark", "witness": "Bo Invented"},
        {"how": "paper", "strokes": [], "paper_photo": ident()},
        {"signer_role": "representative", "ground": "guardian", "capacity": {}},
        {"language": "es", "decisions": [decision("foot_care", language="es")]},
    ],
)
def test_every_way_to_sign(world: World, change: dict[str, Any]) -> None:
    assert codes(world.technician.do("record_consent_sheet", told(world, **change))) == []
    assert holds(world)


@pytest.mark.parametrize(
    ("change", "code"),
    [
        ({"shown_sha256": "0" * 64}, "consent_shown_differs"),
        ({"language": "es", "shown_sha256": "0" * 64}, "consent_shown_differs"),
        ({"decisions": [decision("foot_care") | {"text_hash": "0" * 64}]}, "consent_text_unknown"),
        ({"decisions": [decision("foot_care") | {"text_id": "other"}],
          "shown_sha256": "0" * 64}, "consent_text_unknown"),
    ],
)  # fmt: skip
def test_what_the_server_does_not_know_is_kept_and_flagged(
    world: World, change: dict[str, Any], code: str
) -> None:
    args = told(world, **change)
    assert codes(world.technician.do("record_consent_sheet", args)) == [code]
    assert ConsentSheet.objects.filter(pk=args["sheet"]).exists()


@pytest.mark.parametrize("found", [{}, {"understands": True, "keeps": True, "weighs": None}])
def test_a_yes_by_a_client_of_whom_nobody_said_that_they_can_decide_holds_for_nothing(
    world: World, found: dict[str, Any]
) -> None:
    args = told(world, capacity=found)
    assert codes(world.technician.do("record_consent_sheet", args)) == ["consent_without_capacity"]
    assert not holds(world)
    assert Consent.objects.filter(sheet=args["sheet"]).count() == 2


def test_a_sheet_is_never_unmade(world: World) -> None:
    args = told(world)
    world.technician.do("record_consent_sheet", args)
    again = told(world, sheet=args["sheet"])
    assert world.technician.no("record_consent_sheet", again) == "id_taken"
    with pytest.raises(ProtectedError):
        ConsentSheet.objects.get(pk=args["sheet"]).delete()
