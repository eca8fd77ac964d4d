"""What two people found is a reason together in whatever order the server hears of it.

Check: our own rule, no source (docs/no-way-past.md).
"""

import pytest

from heelwright.commandlog.wire import Envelope
from tests.factories import (
    DIABETIC_HEALTH,
    GOOD_FEET,
    HEALTHY,
    NEEDS_WORD,
    REFERRED,
    answer_args,
    check_args,
    screen_args,
)
from tests.intake.test_letters_for_a_clearance import letters
from tests.world import Hand, World

# Each alone is no reason to refer; together they are.
PREGNANT = HEALTHY | {"pregnant": True}
SWOLLEN = GOOD_FEET | {"swelling_seen": "both_feet"}
TOGETHER = "pregnant_and_swollen"


def told(hand: Hand, client: str, **more: object) -> Envelope:
    args = screen_args(client=client, screened_at=hand.stamp(), seen_screens=[], **more)
    return hand.envelope("record_screen", args)


def referring(world: World, client: str) -> list[str]:
    made = letters(world, client).values()
    return [rule for row in made if row["level"] == "refer_first" for rule in row["reasons"]]


@pytest.mark.parametrize("late", [False, True])
def test_a_screen_and_feet_that_were_looked_at_again_before_it_came(
    world: World, late: bool
) -> None:
    """The owner asks with no signal and knows of none of the technician's records."""
    hand, owner = world.technician, world.owner
    client = hand.register(born="1990-01-01")
    well = hand.screen(client)
    swollen = hand.later(minutes=1).check(client, well, SWOLLEN)
    owner.now = hand.later(minutes=9).now
    asked = told(owner, client, answers=PREGNANT)
    if not late:
        owner.deliver(asked)
    hand.later(minutes=20).check(client, well, seen_checks=[swollen])
    if late:
        owner.later(hours=1).deliver(asked)
    assert referring(world, client)[:1] == [TOGETHER]
    hand.later(hours=1).clear(client, covers=["swelling_unexplained", TOGETHER])
    assert hand.no("start_visit", hand.ready(client)) == "referral_unanswered"


@pytest.mark.parametrize("late", [False, True])
def test_feet_and_a_screen_that_was_asked_again_before_they_came(world: World, late: bool) -> None:
    hand, owner = world.technician, world.owner
    client = hand.register(born="1990-01-01")
    well = hand.screen(client)
    looked = check_args(client=client, screen=well, answers=SWOLLEN, checked_at=hand.stamp())
    seen = hand.envelope("record_foot_check", looked)
    if not late:
        hand.deliver(seen)
    owner.now = hand.later(minutes=10).now
    pregnant = owner.screen(client, PREGNANT, seen_screens=[well])
    owner.later(minutes=10).screen(client, seen_screens=[well, pregnant])
    if late:
        hand.later(hours=1).deliver(seen)
    assert referring(world, client)[:1] == [TOGETHER]
    assert hand.later(hours=1).no("start_visit", hand.ready(client)) == "referral_unanswered"


def found_again_after_a_yes(
    world: World, first: dict[str, object], then: dict[str, object], *, late: bool
) -> tuple[str, str]:
    """The screens before and after a clinician's yes, which reaches the server at once, or after
    what was found again. The owner's phone, which finds it, has no yes yet."""
    hand, owner = world.technician, world.owner
    before = hand.screen(world.client, first)
    told = answer_args(referral=before, answered_on=hand.day())
    yes = hand.later(hours=1).envelope("record_referral_answer", told)
    if not late:
        hand.deliver(yes)
    owner.now = hand.later(minutes=30).now
    after = owner.screen(world.client, then, seen_screens=[before])
    if late:
        assert hand.later(hours=1).deliver(yes)[0].status == "applied"
    hand.later(hours=1)
    return before, after


@pytest.mark.parametrize("late", [False, True])
def test_what_was_found_after_a_clinicians_yes_that_came_late(world: World, late: bool) -> None:
    """The same sign is there again."""
    hand = world.technician
    referral, again = found_again_after_a_yes(world, REFERRED, REFERRED, late=late)
    assert {str(id_) for id_ in letters(world)} == {referral, again}
    assert hand.no("start_visit", hand.ready(world.client)) == "referral_unanswered"


@pytest.mark.parametrize("late", [False, True])
def test_a_need_that_was_said_after_a_clinicians_yes_that_came_late(
    world: World, late: bool
) -> None:
    """The referral named the need too; the yes knew nothing of its being said again."""
    hand = world.technician
    both = NEEDS_WORD | {"foot_injury": True}
    referral, again = found_again_after_a_yes(world, both, NEEDS_WORD, late=late)
    last = hand.screen(world.client, seen_screens=[referral, again])
    check = hand.check(world.client, last)
    visit = hand.ready_ids(world.client) | {"screen": last, "check": check}
    assert hand.no("start_visit", visit) == "needs_clearance"


OWN_QUESTION = """
groups:
  - id: own_house
    part: health
    asked_by: anyone
    questions:
      - {{id: own_stairs, kind: choice, choices: [{choices}]}}
words:
  en:
    group.own_house: The house
    question.own_stairs: Are there stairs?
    choice.own_stairs.none: None
    choice.own_stairs.few: A few
    {more}
"""
THREE = OWN_QUESTION.format(choices="none, few, many", more="choice.own_stairs.many: Many")
TWO = OWN_QUESTION.format(choices="none, few", more="")


def test_feet_refer_on_though_the_screen_that_they_name_is_no_longer_read(world: World) -> None:
    """By the book of today it has an answer that nobody can give; another screen, which can be
    read, makes the same feet ask for a clearance."""
    hand = world.technician
    client = hand.register(born="1990-01-01")
    world.owner.do("adopt_practice_rules", {"text": THREE})
    pregnant = hand.screen(client, PREGNANT | {"own_stairs": "many"})
    world.owner.do("adopt_practice_rules", {"text": TWO})
    hand.later(minutes=5).screen(client, DIABETIC_HEALTH, seen_screens=[pregnant])
    hand.later(minutes=5).check(client, pregnant, SWOLLEN | {"deformity": True})
    assert referring(world, client)[:1] == [TOGETHER]
    assert hand.later(hours=1).no("start_visit", hand.ready(client)) == "referral_unanswered"
