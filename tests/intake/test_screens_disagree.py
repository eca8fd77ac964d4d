"""Two people ask one client without knowing of each other. Check: our own rule, no source."""

from typing import Any

from tests.factories import HEALTHY, NEEDS_WORD, REFERRED
from tests.sync.phone_model import fresh
from tests.world import Hand, World

# A clinician's word is needed, and one question is not answered.
LEFT_OPEN = {key: said for key, said in NEEDS_WORD.items() if key != "poor_circulation"}


def told(hand: Hand) -> list[tuple[str, str, list[str]]]:
    rows = fresh(hand).of("incident").values()
    return [
        (row["code"], str(row["about_id"]), row["reasons"])
        for row in rows
        if row["code"] == "screens_disagree"
    ]


def start(world: World, screen: str) -> dict[str, Any]:
    technician = world.technician
    args = technician.ready_ids(world.client)
    return {**args, "screen": screen, "check": technician.check(world.client, screen)}


def test_the_stricter_counts_until_a_screen_has_seen_both(world: World) -> None:
    technician, owner = world.technician, world.owner
    theirs = owner.screen(world.client, LEFT_OPEN, seen_screens=[])
    mine = technician.later(minutes=5).screen(world.client, HEALTHY, seen_screens=[])
    rows = {str(id_): row for id_, row in fresh(owner).of("health_screen").items()}
    outcomes = ["needs_clearance", rows[mine]["outcome"]]
    for hand in (technician, owner):
        assert told(hand) == [("screens_disagree", mine, outcomes)]
    assert technician.no("start_visit", start(world, mine)) == "questions_open"
    half = technician.later(minutes=5).screen(world.client, HEALTHY, seen_screens=[mine])
    assert technician.no("start_visit", start(world, half)) == "questions_open"
    both = technician.later(minutes=5).screen(world.client, HEALTHY, seen_screens=[theirs, half])
    assert technician.no("start_visit", start(world, both)) == "needs_clearance"
    technician.clear(world.client)
    technician.do("start_visit", start(world, both))


def test_the_feed_says_what_a_screen_had_seen(world: World) -> None:
    first = world.technician.screen(world.client, seen_screens=[])
    second = world.technician.screen(world.client, seen_screens=[first])
    rows = {str(id_): row for id_, row in fresh(world.owner).of("health_screen").items()}
    assert (rows[first]["seen"], rows[second]["seen"]) == ([], [first])


def test_whoever_knew_of_the_other_disagrees_with_nobody(world: World) -> None:
    theirs = world.owner.screen(world.client, NEEDS_WORD, seen_screens=[])
    mine = world.technician.later(minutes=5).screen(world.client, seen_screens=[theirs])
    assert told(world.owner) == []
    assert world.technician.no("start_visit", start(world, mine)) == "needs_clearance"


def test_two_that_come_to_the_same_disagree_in_nothing(world: World) -> None:
    world.owner.screen(world.client, HEALTHY, seen_screens=[])
    mine = world.technician.later(minutes=5).screen(world.client, HEALTHY, seen_screens=[])
    assert told(world.owner) == []
    world.technician.do("start_visit", start(world, mine))


def test_the_older_that_comes_later_is_told_about_the_newer(world: World) -> None:
    technician, owner = world.technician, world.owner
    mine = technician.later(minutes=5).screen(world.client, HEALTHY, seen_screens=[])
    before = owner.stamp()
    owner.later(minutes=6).screen(world.client, REFERRED, seen_screens=[], screened_at=before)
    ((_, about, reasons),) = told(technician)
    assert (about, reasons[0]) == (mine, "refer_first")


def test_an_app_that_says_nothing_of_it_knew_its_own(world: World) -> None:
    """As apps did before screens named what they had seen: of others they may not have known."""
    technician, owner = world.technician, world.owner
    technician.screen(world.client, NEEDS_WORD)
    again = technician.later(minutes=5).screen(world.client, HEALTHY)
    assert technician.no("start_visit", start(world, again)) == "needs_clearance"
    assert told(owner) == []
    owner.now = technician.now
    owner.screen(world.client, NEEDS_WORD)
    assert len(told(owner)) == 1
