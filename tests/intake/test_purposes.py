"""Consents for several purposes: each by itself, one of them for the work. Check: our own rule."""

import hashlib
import json
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest

from heelwright.intake.consents import stands
from heelwright.intake.rules import Decision, state_of
from heelwright.people.models import Client
from heelwright.rulebook import book_for
from tests.factories import consent_args
from tests.world import World

VECTORS = json.loads((Path(__file__).parents[1] / "parity" / "consents.json").read_text())
PURPOSES = ("treatment", "photos", "sharing", "messages")
TEXT = dict(zip(PURPOSES, ("foot_care", *PURPOSES[1:]), strict=True))


@pytest.mark.parametrize("case", VECTORS["cases"], ids=lambda case: str(case["name"]))
def test_what_holds_for_a_purpose(case: dict[str, Any]) -> None:
    made = [
        Decision(d["agreed"], datetime.fromisoformat(d["at"]), _when(d["withdrawn_at"]))
        for d in case["decisions"]
    ]
    assert state_of(made, datetime.fromisoformat(VECTORS["at"])) == case["state"]


def _when(moment: str | None) -> datetime | None:
    return datetime.fromisoformat(moment) if moment else None


def signed(world: World, purpose: str, language: str = "en") -> str:
    words = book_for(None).content.words[language][f"consent.{TEXT[purpose]}"]
    args = consent_args(
        client=world.client,
        signed_at=world.technician.stamp(),
        text_id=TEXT[purpose],
        text_hash=hashlib.sha256(words.encode()).hexdigest(),
    )
    receipt = world.technician.do("sign_consent", args)
    assert receipt.incidents == []
    return str(args["consent"])


def standing(world: World) -> set[str]:
    client = Client.objects.get(pk=world.client)
    at = datetime.fromisoformat(world.technician.stamp())
    return {purpose for purpose in PURPOSES if stands(client, at, purpose)}


def test_each_purpose_is_given_and_taken_back_by_itself(world: World) -> None:
    ids = {purpose: signed(world, purpose) for purpose in PURPOSES}
    assert standing(world) == set(PURPOSES)
    for purpose in PURPOSES:
        told = {"consent": ids[purpose], "withdrawn_at": world.technician.stamp()}
        before = standing(world)
        world.technician.do("withdraw_consent", told)
        assert standing(world) == before - {purpose}


@pytest.mark.parametrize("purpose", PURPOSES[1:])
def test_no_other_purpose_lets_a_visit_start(world: World, purpose: str) -> None:
    hand = world.technician
    start = hand.ready(world.client, booking=hand.book(world.client))
    hand.do("withdraw_consent", {"consent": start["consent"], "withdrawn_at": hand.stamp()})
    other = signed(world, purpose)
    again = {**start, "consent": other, "started_at": hand.stamp()}
    assert hand.no("start_visit", again) in ("no_consent", "not_found")
    hand.do("start_visit", {**again, "consent": signed(world, "treatment")})


def test_a_text_may_be_signed_in_spanish(world: World) -> None:
    signed(world, "treatment", "es")
    assert standing(world) == {"treatment"}


def test_older_apps_get_only_what_they_take_for_a_consent_to_the_work(world: World) -> None:
    ids = {purpose: signed(world, purpose) for purpose in PURPOSES}
    kinds = {str(row.id): row.kind for row in world.owner.pull().rows}
    assert kinds[ids["treatment"]] == "consent"
    assert {kinds[ids[purpose]] for purpose in PURPOSES[1:]} == {"consent_choice"}
