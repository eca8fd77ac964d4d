"""Two people look at one client's feet without knowing of each other. Check: our own rule, no
source."""

from typing import Any

from heelwright.intake.facts import facts_about
from heelwright.intake.models import Referral
from heelwright.people.models import Client
from tests.factories import GOOD_FEET, HEALTHY, OPEN_SORE
from tests.sync.phone_model import fresh
from tests.world import Hand, World

FRAGILE = GOOD_FEET | {"fragile_skin_seen": True}
CODE = "foot_checks_disagree"


def told(hand: Hand) -> list[tuple[str, list[str]]]:
    rows = fresh(hand).of("incident").values()
    return [(str(row["about_id"]), row["reasons"]) for row in rows if row["code"] == CODE]


def judged(world: World, hand: Hand) -> dict[str, Any]:
    judgement = facts_about(Client.objects.get(pk=world.client), hand.now).judgement
    assert judgement is not None
    return dict(judgement)


def fired(world: World, hand: Hand) -> set[str]:
    return {rule["id"] for rule in judged(world, hand)["fired"]}


def test_the_stricter_counts_until_a_look_has_seen_both(world: World) -> None:
    technician, owner = world.technician, world.owner
    screen = technician.screen(world.client)
    theirs = owner.check(world.client, screen, FRAGILE, seen_checks=[])
    strict = judged(world, technician)
    mine = technician.later(minutes=5).check(world.client, screen, GOOD_FEET, seen_checks=[])
    assert judged(world, technician)["limits"] == strict["limits"]
    assert (strict["outcome"], "fragile" in fired(world, technician)) == ("go_with_limits", True)
    for hand in (technician, owner):
        assert told(hand) == [(mine, ["go_with_limits", "go"])]
    later = technician.later(minutes=5)
    half = later.check(world.client, screen, GOOD_FEET, seen_checks=[mine])
    assert "fragile" in fired(world, technician)
    later.later(minutes=5).check(world.client, screen, GOOD_FEET, seen_checks=[theirs, half])
    assert "fragile" not in fired(world, technician)


def test_the_feed_says_what_a_look_had_seen(world: World) -> None:
    screen = world.technician.screen(world.client)
    first = world.technician.check(world.client, screen, seen_checks=[])
    second = world.technician.check(world.client, screen, seen_checks=[first])
    rows = {str(id_): row for id_, row in fresh(world.owner).of("foot_check").items()}
    assert (rows[first]["seen"], rows[second]["seen"]) == ([], [first])


def test_whoever_knew_of_the_other_disagrees_with_nobody(world: World) -> None:
    screen = world.technician.screen(world.client)
    theirs = world.owner.check(world.client, screen, FRAGILE, seen_checks=[])
    world.technician.later(minutes=5).check(world.client, screen, seen_checks=[theirs])
    assert told(world.owner) == []


def test_screens_that_disagree_are_no_disagreement_about_the_feet(world: World) -> None:
    technician, owner = world.technician, world.owner
    strict = owner.screen(world.client, HEALTHY | {"kidney_failure": True}, seen_screens=[])
    mild = technician.screen(world.client, seen_screens=[])
    owner.check(world.client, strict, GOOD_FEET, seen_checks=[])
    technician.later(minutes=5).check(world.client, mild, GOOD_FEET, seen_checks=[])
    assert told(owner) == []


def test_a_sore_that_another_has_seen_holds_after_the_answer_too(world: World) -> None:
    """The newest foot check alone would let the visit begin."""
    technician, owner = world.technician, world.owner
    screen = technician.screen(world.client)
    sore = owner.check(world.client, screen, OPEN_SORE, seen_checks=[])
    technician.later(minutes=5).check(world.client, screen, GOOD_FEET, seen_checks=[])
    assert [str(r.pk) for r in Referral.objects.all()] == [sore]
    owner.later(minutes=10).answer(sore)
    technician.later(minutes=10)
    ready = technician.ready_ids(world.client) | {"screen": technician.screen(world.client)}
    mild = technician.check(world.client, ready["screen"], seen_checks=[])
    start = ready | {"check": mild, "started_at": technician.stamp()}
    assert technician.no("start_visit", start) == "refer_first"
    seen = technician.check(world.client, ready["screen"], seen_checks=[sore, mild])
    technician.do("start_visit", start | {"check": seen, "started_at": technician.stamp()})


def test_an_app_that_says_nothing_of_it_knew_its_own(world: World) -> None:
    technician, owner = world.technician, world.owner
    screen = technician.screen(world.client)
    technician.check(world.client, screen, FRAGILE)
    technician.later(minutes=5).check(world.client, screen, GOOD_FEET)
    assert told(owner) == []
    owner.now = technician.now
    owner.later(minutes=1).check(world.client, screen, FRAGILE)
    assert len(told(owner)) == 1
