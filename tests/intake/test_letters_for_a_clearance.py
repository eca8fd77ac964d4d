"""A need for a clinician's word makes a letter to hand over, and waits for an answer.

Check: our own rule, no source (docs/decisions/0164). `pwa/tests/domain/referrals.test.ts` has the
same cases of what waits.
"""

from typing import Any
from uuid import UUID

from heelwright.intake.documents import referral_letter
from heelwright.intake.facts import referrals_waiting
from heelwright.intake.models import HealthScreen, Referral
from heelwright.people.models import Client
from tests.factories import (
    DIABETIC_HEALTH,
    GOOD_FEET,
    HEALTHY,
    NEEDS_WORD,
    REFERRED,
    check_args,
    ident,
    screen_args,
)
from tests.people.test_merging import merge
from tests.sync.phone_model import fresh
from tests.world import Hand, World


def letters(world: World, client: str | None = None) -> dict[UUID, dict[str, Any]]:
    rows = fresh(world.owner).of("referral")
    return {id_: row for id_, row in rows.items() if row["client"] == (client or world.client)}


def call_off(hand: Hand, letter: str) -> None:
    step = {"step": ident(), "referral": letter, "what": "called_off", "done_at": hand.stamp()}
    hand.do("record_referral_step", {**step, "note": "The client will not have it"})


def refused(world: World, health: dict[str, Any]) -> str:
    hand = world.technician.later(hours=1)
    return hand.no("start_visit", hand.ready(world.client, health=health))


def test_it_says_whom_to_ask_and_what_for(world: World) -> None:
    screen = world.technician.screen(world.client, NEEDS_WORD)
    [(made, row)] = letters(world).items()
    assert (str(made), str(row["screen"]), row["check"]) == (screen, screen, None)
    asked = (row["level"], row["refer_to"], row["within"], row["asks"])
    assert asked == ("needs_clearance", "gp", "weeks", ["kidney"])
    assert refused(world, NEEDS_WORD) == "needs_clearance"


def test_one_letter_until_a_clearance_came_and_another_once_that_is_over(world: World) -> None:
    hand = world.technician
    hand.screen(world.client, NEEDS_WORD)
    hand.later(minutes=1).check(world.client, hand.screen(world.client, NEEDS_WORD))
    assert len(letters(world)) == 1
    hand.clear(world.client, expires_on=hand.day(days=1))
    hand.later(hours=1).screen(world.client, NEEDS_WORD)
    assert len(letters(world)) == 1
    hand.later(days=2).screen(world.client, NEEDS_WORD)
    assert len(letters(world)) == 2


def test_a_clearance_for_something_else_answers_nothing(world: World) -> None:
    hand = world.technician
    hand.clear(world.client, covers=["steroids"])
    hand.later(minutes=1).screen(world.client, NEEDS_WORD)
    assert len(letters(world)) == 1


def test_what_is_new_makes_another(world: World) -> None:
    hand = world.technician
    hand.screen(world.client, NEEDS_WORD)
    hand.later(minutes=1).screen(world.client, NEEDS_WORD | {"steroids_long": True})
    assert sorted(len(row["asks"]) for row in letters(world).values()) == [1, 2]


def test_called_off_it_frees_nobody_and_is_made_again_when_asked_again(world: World) -> None:
    hand = world.technician
    letter = hand.screen(world.client, NEEDS_WORD)
    call_off(hand.later(minutes=1), letter)
    assert refused(world, HEALTHY) == "needs_clearance"
    hand.later(minutes=1).screen(world.client, NEEDS_WORD)
    assert len(letters(world)) == 2


def test_nobody_calls_off_that_a_client_must_be_seen_first(world: World) -> None:
    hand = world.technician
    referral = hand.screen(world.client, HEALTHY | {"foot_injury": True})
    call_off(hand.later(minutes=1), referral)
    assert refused(world, HEALTHY) == "referral_unanswered"
    assert len(letters(world)) == 1


def test_a_yes_that_is_no_clearance_lets_nobody_go(world: World) -> None:
    hand = world.technician
    letter = hand.screen(world.client, NEEDS_WORD)
    hand.later(minutes=5).answer(letter)
    assert refused(world, NEEDS_WORD) == "needs_clearance"
    assert refused(world, HEALTHY) == "needs_clearance"
    hand.later(hours=1).clear(world.client)
    hand.do("start_visit", hand.ready(world.client, health=NEEDS_WORD))


def test_a_no_holds_whatever_clearance_there_is_until_a_later_yes(world: World) -> None:
    hand = world.technician
    letter = hand.screen(world.client, NEEDS_WORD)
    hand.later(minutes=5).answer(letter, verdict="may_not")
    hand.later(minutes=5).clear(world.client)
    assert refused(world, NEEDS_WORD) == "clinician_said_no"
    assert refused(world, HEALTHY) == "clinician_said_no"
    hand.later(minutes=5).answer(letter, verdict="may_with_conditions")
    hand.later(hours=1).do("start_visit", hand.ready(world.client, health=NEEDS_WORD))


def test_one_is_made_again_where_a_newer_letter_told_the_same_and_was_answered(
    world: World,
) -> None:
    hand = world.technician
    hand.screen(world.client, NEEDS_WORD)
    newer = hand.later(minutes=5).screen(world.client, NEEDS_WORD | {"foot_injury": True})
    hand.later(minutes=5).answer(newer)
    hand.later(minutes=5).screen(world.client, NEEDS_WORD)
    assert len(letters(world)) == 3


def test_none_is_called_off_without_a_reason(world: World) -> None:
    hand = world.technician
    step = {"step": ident(), "referral": hand.screen(world.client, NEEDS_WORD)}
    told = {**step, "what": "called_off", "note": " ", "done_at": hand.stamp()}
    hand.do("record_referral_step", told)
    hand.later(minutes=1).screen(world.client, NEEDS_WORD)
    assert len(letters(world)) == 1


def test_feet_that_refer_on_with_the_screen_they_name_do_so_whatever_screen_counts(
    world: World,
) -> None:
    """A newer screen, which knew of that one, makes them ask for a clearance besides."""
    hand = world.technician
    client = hand.register(born="1990-01-01")
    pregnant = hand.screen(client, HEALTHY | {"pregnant": True})
    newer = hand.later(minutes=5).screen(client, DIABETIC_HEALTH, seen_screens=[pregnant])
    feet = GOOD_FEET | {"swelling_seen": "both_feet", "deformity": True}
    check = hand.later(minutes=5).check(client, pregnant, feet)
    made = letters(world, client)
    assert made[UUID(check)]["level"] == "refer_first"
    hand.clear(client, covers=sorted({rule for row in made.values() for rule in row["asks"]}))
    start = {**hand.later(minutes=1).ready_ids(client), "screen": newer, "check": check}
    assert hand.no("start_visit", start | {"started_at": hand.stamp()}) == "referral_unanswered"


NOBODY_SIGNS = HEALTHY | {"understands_today": False, "signer_ready": False}
SOMEBODY_SIGNS = NOBODY_SIGNS | {"signer_ready": True}


def waiting(world: World, hand: Hand) -> set[str]:
    client = Client.objects.get(pk=world.client)
    return {str(letter.pk) for letter in referrals_waiting(client, hand.now)}


def test_one_that_asked_for_want_of_a_look_waits_until_the_look_is_had(world: World) -> None:
    """And again, with no second one, where what counts asks by the same rule."""
    hand = world.technician
    letter = hand.screen(world.client, NOBODY_SIGNS)
    assert waiting(world, hand) == {letter}
    hand.later(minutes=5).check(world.client, hand.screen(world.client, SOMEBODY_SIGNS))
    assert waiting(world, hand) == set()
    hand.later(minutes=5).screen(world.client, NOBODY_SIGNS)
    assert waiting(world, hand) == {letter}
    assert len(letters(world)) == 1


def test_one_that_asked_for_more_besides_waits_on(world: World) -> None:
    hand = world.technician
    both = hand.screen(world.client, NOBODY_SIGNS | {"kidney_failure": True})
    hand.later(minutes=5).check(world.client, hand.screen(world.client, SOMEBODY_SIGNS))
    assert waiting(world, hand) == {both}


def test_a_clinicians_no_to_it_holds_whatever_is_found_later(world: World) -> None:
    hand = world.technician
    letter = hand.screen(world.client, NOBODY_SIGNS)
    hand.later(minutes=5).answer(letter, verdict="may_not")
    hand.later(minutes=5).check(world.client, hand.screen(world.client, SOMEBODY_SIGNS))
    assert waiting(world, hand) == {letter}
    assert refused(world, SOMEBODY_SIGNS) == "clinician_said_no"


def test_it_waits_as_long_as_what_counts_may_still_ask(world: World) -> None:
    hand = world.technician
    letter = hand.screen(world.client, NOBODY_SIGNS)
    nobody_said = {k: v for k, v in NOBODY_SIGNS.items() if k != "signer_ready"}
    hand.later(minutes=5).check(world.client, hand.screen(world.client, nobody_said))
    assert waiting(world, hand) == {letter}


RAISED = """
rules:
  - id: own_both
    group: medical_clearance
    when: kidney_failure && heart_trouble
    outcome: {outcome}
    refer_to: gp
    within: days
    source: Invented house rule
    basis: common_practice
words:
  en:
    rule.own_both: Ask the doctor first.
"""


def test_a_rule_that_asked_for_a_clearance_and_refers_on_now_makes_a_referral(
    world: World,
) -> None:
    hand = world.technician
    health = HEALTHY | {"kidney_failure": True, "heart_trouble": True}
    for outcome in ("needs_clearance", "refer_first"):
        text = RAISED.format(outcome=outcome)
        world.owner.do("adopt_practice_rules", {"text": text})
        hand.later(minutes=5).screen(world.client, health)
    levels = sorted(row["level"] for row in letters(world).values())
    assert levels == ["needs_clearance", "refer_first"]
    for each in world.hands.values():
        each.later(hours=25)
    assert hand.no("start_visit", hand.ready(world.client)) == "referral_unanswered"


def test_what_asked_for_a_clearance_stays_asked_once_its_rule_refers_on(world: World) -> None:
    """What was asked then: a clearance answers it, and nothing less."""
    hand = world.technician
    world.owner.do("adopt_practice_rules", {"text": RAISED.format(outcome="needs_clearance")})
    hand.screen(world.client, NEEDS_WORD | {"heart_trouble": True})
    hand.clear(world.client)
    assert refused(world, HEALTHY) == "needs_clearance"
    world.owner.do("adopt_practice_rules", {"text": RAISED.format(outcome="refer_first")})
    assert refused(world, HEALTHY) == "needs_clearance"
    hand.clear(world.client, covers=["own_both"])
    hand.later(hours=1).do("start_visit", hand.ready(world.client))


TROUBLED = HEALTHY | {"heart_trouble": True}
ALONE = RAISED.replace("kidney_failure && ", "")


def test_what_an_own_rule_asked_for_stays_where_it_is_narrowed_and_goes_with_the_rule(
    world: World,
) -> None:
    """The phone decides alike, by what the server says that each record asked: `path.test.ts`."""
    hand = world.technician
    world.owner.do("adopt_practice_rules", {"text": ALONE.format(outcome="needs_clearance")})
    screen = hand.screen(world.client, TROUBLED)
    check = hand.check(world.client, screen)
    phone = fresh(hand)
    told = {str(id_): row["asks"] for id_, row in phone.of("health_screen").items()}
    told |= {str(id_): row["asks"] for id_, row in phone.of("foot_check").items()}
    assert told == {screen: ["own_both"], check: ["own_both"]}
    world.owner.do("adopt_practice_rules", {"text": RAISED.format(outcome="needs_clearance")})
    assert refused(world, HEALTHY) == "needs_clearance"
    assert waiting(world, hand) == {screen}
    world.owner.do("adopt_practice_rules", {"text": ""})
    # Nor can it be told from one whose rule does not fit the book of today: somebody looks at it.
    assert waiting(world, hand) == {screen}
    hand.later(hours=1).do("start_visit", hand.ready(world.client))


def test_a_referral_by_an_own_rule_holds_until_it_is_answered_though_the_rule_is_gone(
    world: World,
) -> None:
    hand = world.technician
    world.owner.do("adopt_practice_rules", {"text": ALONE.format(outcome="refer_first")})
    referral = hand.screen(world.client, TROUBLED)
    world.owner.do("adopt_practice_rules", {"text": ""})
    assert refused(world, HEALTHY) == "referral_unanswered"
    assert waiting(world, hand) == {referral}


def test_what_an_older_server_judged_makes_no_letter_that_nobody_can_read(world: World) -> None:
    """It knew of no one to ask. The slip before it took the letter that it leaned on along."""
    hand = world.technician
    slip, second = (hand.later(minutes=1).screen(world.client, NEEDS_WORD) for _ in range(2))
    for screen in HealthScreen.objects.filter(pk__in=[slip, second]):
        screen.judgement = screen.judgement | {"referral": None}
        screen.save(force_update=True)
    Referral.objects.all().delete()
    marked = {"what": "health_screen", "row": slip, "reason": "Wrong tap"}
    hand.do("mark_entered_in_error", marked)
    assert letters(world) == {}
    hand.later(minutes=1).screen(world.client, NEEDS_WORD)
    assert len(letters(world)) == 1


def test_no_check_takes_the_id_of_a_screen_nor_a_screen_that_of_a_check(world: World) -> None:
    """Marked as a slip, it would have taken the referral of the other along."""
    hand = world.technician
    screen = hand.screen(world.client, REFERRED)
    well = hand.later(days=2).screen(world.client)
    args = check_args(client=world.client, screen=well, check=screen, checked_at=hand.stamp())
    assert hand.no("record_foot_check", args) == "id_taken"
    check = hand.check(world.client, well)
    again = screen_args(client=world.client, screen=check, screened_at=hand.stamp())
    assert hand.no("record_screen", again) == "id_taken"


def test_a_screen_that_asked_for_a_clearance_still_refers_on(world: World) -> None:
    """Once what was seen under another card says more: by a letter of another name."""
    hand = world.technician
    stays, goes = hand.register(), hand.register()
    asked = hand.screen(stays, NEEDS_WORD | {"pregnant": True})
    hand.check(goes, hand.screen(goes), GOOD_FEET | {"swelling_seen": "both_feet"})
    world.owner.now = hand.later(minutes=1).now
    merge(world, stays, goes)
    of_screen = {
        row["level"]: str(id_)
        for id_, row in letters(world, stays).items()
        if str(row["screen"]) == asked
    }
    assert of_screen["needs_clearance"] == asked
    another = of_screen["refer_first"]
    assert another != asked
    assert Referral.objects.get(pk=another).record_id == UUID(asked)
    assert referral_letter(world.owner.device, UUID(another))["answered_by"]
    assert hand.later(minutes=1).no("start_visit", hand.ready(stays)) == "referral_unanswered"
