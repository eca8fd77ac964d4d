"""An answer that the server can't read must not take the serious one beside it along.

Check: our own rule, no source."""

from typing import Any
from uuid import UUID

import pytest

from heelwright.intake.documents import referral_letter
from heelwright.rulebook import book_for
from tests.factories import (
    GOOD_FEET,
    HEALTHY,
    OPEN_SORE,
    REFERRED,
    booking_args,
    check_args,
    ident,
    screen_args,
)
from tests.sync.phone_model import PhoneModel, fresh
from tests.world import Hand, World

WORDS = book_for().content.words["en"]
UNREADABLE = {"leg_swelling": "a choice of another edition"}
BLURRED = {"swelling_seen": "a choice of another edition"}
ODD = {"id": "f1", "foot": "left", "view": "sole", "region": "heel", "what": "unheard_of"}


def screen_of(world: World, hand: Hand, answers: dict[str, Any]) -> dict[str, Any]:
    return screen_args(client=world.client, screened_at=hand.stamp(), answers=answers)


def check_of(world: World, hand: Hand, screen: str, **more: Any) -> dict[str, Any]:
    return check_args(client=world.client, screen=screen, checked_at=hand.stamp(), **more)


def named(phone: PhoneModel, kind: str, id_: str) -> dict[str, Any] | None:
    return next((row for key, row in phone.of(kind).items() if str(key) == id_), None)


def test_the_serious_answer_beside_it_refers_on(world: World) -> None:
    technician = world.technician
    args = screen_of(world, technician, REFERRED | UNREADABLE)
    technician.do("record_screen", args)
    owner = fresh(world.owner)
    kept = named(owner, "health_screen", args["screen"])
    assert kept is not None
    assert kept["answers"] == {k: v for k, v in REFERRED.items() if k not in UNREADABLE}
    assert named(owner, "referral", args["screen"]) is not None
    (told,) = owner.of("incident").values()
    assert (told["code"], told["reasons"]) == ("answers_not_read", [WORDS["question.leg_swelling"]])
    technician.check(world.client, args["screen"])


@pytest.mark.parametrize("more", [{}, {"findings": [ODD]}])
def test_so_do_serious_feet(world: World, more: dict[str, Any]) -> None:
    technician = world.technician
    screen = technician.screen(world.client)
    args = check_of(world, technician, screen, answers=OPEN_SORE | BLURRED, **more)
    technician.do("record_foot_check", args)
    owner = fresh(world.owner)
    assert named(owner, "referral", args["check"]) is not None
    kept = named(owner, "foot_check", args["check"])
    assert kept is not None
    assert kept["findings"] == []
    (told,) = owner.of("incident").values()
    unread = {WORDS["question.swelling_seen"], *("check" for _ in more)}
    assert (told["code"], set(told["reasons"])) == ("answers_not_read", unread)


def test_where_the_rest_refers_nobody_on_it_is_refused(world: World) -> None:
    technician = world.technician
    assert technician.no("record_screen", screen_of(world, technician, HEALTHY | UNREADABLE)) == (
        "not_a_choice"
    )
    args = check_of(world, technician, technician.screen(world.client), answers=GOOD_FEET | BLURRED)
    assert technician.no("record_foot_check", args) == "not_a_choice"
    assert fresh(world.owner).of("incident") == {}


def test_a_refused_screen_takes_no_serious_feet_along(world: World) -> None:
    technician = world.technician
    screen = screen_of(world, technician, HEALTHY | UNREADABLE)
    feet = check_of(world, technician, screen["screen"], answers=OPEN_SORE)
    refused, taken = technician.deliver(
        technician.envelope("record_screen", screen),
        technician.envelope("record_foot_check", feet),
    )
    assert (refused.status, taken.status) == ("refused", "applied")
    referral = named(fresh(world.owner), "referral", feet["check"])
    assert referral is not None
    assert referral["level"] == "refer_first"
    assert technician.no("record_foot_check", check_of(world, technician, screen["screen"])) == (
        "not_found"
    )


def test_the_letter_of_such_feet_says_that_the_questions_are_missing(world: World) -> None:
    technician = world.technician
    feet = check_of(world, technician, ident(), answers=OPEN_SORE)
    technician.do("record_foot_check", feet)
    made = referral_letter(technician.device, UUID(feet["check"]))
    assert (made["told"], made["looked"]) == ([], True)
    assert "not on record" in made["answered_by"]


TOES = """
groups:
  - id: own_feet
    part: foot
    asked_by: anyone
    questions:
      - {id: own_toes, kind: choice, choices: [%s]}
words:
  en:
    group.own_feet: Toes
    question.own_toes: How many toes?
    choice.own_toes.one: One
    choice.own_toes.two: Two
"""


def test_feet_that_the_practice_can_no_longer_read_stop_no_other_entry(world: World) -> None:
    """Their screen was a slip, so the feet are read anew; and the owner has dropped an answer."""
    hand, resident = world.technician, world.resident
    many = TOES % "one, two, many" + "    choice.own_toes.many: Many\n"
    world.owner.do("adopt_practice_rules", {"text": many})
    slip = hand.screen(resident)
    hand.check(resident, slip, GOOD_FEET | {"own_toes": "many"})
    args = {"what": "health_screen", "row": slip, "reason": "Wrong tap"}
    hand.do("mark_entered_in_error", args)
    world.owner.do("adopt_practice_rules", {"text": TOES % "one, two"})
    hand.later(minutes=1)
    args = booking_args(client=resident, staff=hand.id, starts_at=hand.stamp(days=1))
    booked, referred = hand.deliver(
        hand.envelope("book_visit", args),
        hand.envelope("record_screen", screen_of(world, hand, REFERRED)),
    )
    assert (booked.status, referred.status) == ("applied", "applied")
    hand.later(minutes=1).do("start_visit", hand.ready(resident))
