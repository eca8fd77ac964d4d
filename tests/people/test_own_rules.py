"""A practice adds rules of its own: who may, what is refused, and what they do to the work.

Check: our own rule, no source; the rules themselves are invented.
"""

import logging
from typing import Any

import pytest

from heelwright.people.books import book_of, own_rules_fault
from heelwright.rulebook import book_for
from heelwright.tenancy.models import Practice
from tests.factories import HEALTHY, OWN_RULES
from tests.sync.phone_model import fresh
from tests.world import Hand, World

LOOSER = """
rules:
  - {id: kidney, group: medical_clearance, when: kidney_failure, outcome: go,
     source: us, basis: common_practice}
"""
NO_WORDS = OWN_RULES.split("words:")[0]
SLOWER = "settings: {screen_valid_hours: 48}"


def practice(hand: Hand) -> Practice:
    return Practice.objects.get(pk=hand.device.practice_id)


def adopt(world: World, text: str = OWN_RULES) -> None:
    world.owner.do("adopt_practice_rules", {"text": text})


def row(hand: Hand) -> dict[str, Any]:
    (only,) = fresh(hand).of("practice").values()
    return dict(only)


def test_the_book_of_the_practice_has_them_and_another_version(world: World) -> None:
    before = book_of(practice(world.owner)).version
    adopt(world)
    book = book_of(practice(world.owner))
    assert book.version != before
    assert book.version == book_for(None, OWN_RULES).version
    assert "own_falls" in {rule.id for rule in book.content.rules}
    assert row(world.technician)["own_rules"] == OWN_RULES
    assert book_of(practice(world.stranger)).version == before


def test_nothing_takes_them_away_again(world: World) -> None:
    before = book_of(practice(world.owner)).version
    adopt(world)
    adopt(world, "")
    assert book_of(practice(world.owner)).version == before


@pytest.mark.parametrize("who", ["technician", "coordinator"])
def test_only_the_owner_may(world: World, who: str) -> None:
    hand = world.hands[who]
    assert hand.no("adopt_practice_rules", {"text": OWN_RULES}) == "not_allowed"
    assert practice(world.owner).own_rules == ""


@pytest.mark.parametrize(
    ("text", "named"),
    [
        (LOOSER, "kidney"),
        (NO_WORDS, "rule.own_falls"),
        (SLOWER, "settings.screen_valid_hours"),
        ("rules: [", "text"),
    ],
)
def test_a_faulty_or_looser_text_is_refused_by_name_and_the_one_before_stays(
    world: World, text: str, named: str
) -> None:
    adopt(world)
    refusal = world.owner.send("adopt_practice_rules", {"text": text}).refusal
    assert refusal is not None
    assert (refusal.code, refusal.field) == ("rules_not_usable", "text")
    assert refusal.text.startswith(f"{named}: ")
    assert refusal.remedy
    assert practice(world.owner).own_rules == OWN_RULES


def test_a_phone_with_the_older_book_is_judged_by_the_stricter_one_and_the_owner_told(
    world: World,
) -> None:
    fell = HEALTHY | {"bruise_easily": True}
    judged_before = world.technician.screen(world.client, fell, shown_outcome="go_with_limits")
    adopt(world)
    technician = world.technician.later(minutes=5)
    screen = technician.screen(
        world.client, fell, shown_outcome="go_with_limits", seen_screens=[judged_before]
    )
    owner = fresh(world.owner)
    outcomes = {str(id_): row["outcome"] for id_, row in owner.of("health_screen").items()}
    # What is on record stays as it was judged.
    assert outcomes == {judged_before: "go_with_limits", screen: "needs_clearance"}
    told = [(each["code"], each["reasons"]) for each in owner.of("incident").values()]
    assert told == [("milder_outcome_shown", ["go_with_limits", "needs_clearance"])]
    check = technician.check(world.client, screen)
    start = {**technician.ready_ids(world.client), "screen": screen, "check": check}
    assert technician.no("start_visit", start) == "needs_clearance"


def test_own_rules_that_a_later_edition_does_not_fit_are_left_out_and_told(
    world: World, caplog: pytest.LogCaptureFixture
) -> None:
    shipped = book_of(practice(world.owner)).version
    Practice.objects.filter(pk=practice(world.owner).pk).update(own_rules=LOOSER)
    with caplog.at_level(logging.ERROR):
        assert book_of(practice(world.owner)).version == shipped
    assert "kidney" not in caplog.text
    assert own_rules_fault(practice(world.owner)).startswith("kidney: ")
    assert row(world.owner)["own_rules_fault"].startswith("kidney: ")
