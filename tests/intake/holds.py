"""What holds a client, one of each kind, and a technician at the door who has all else in order.

Everything happens at noon, so that no test runs over a midnight.
"""

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import timedelta
from typing import Any

from heelwright.intake.records import local_day
from tests.factories import (
    DIABETIC_HEALTH,
    GOOD_FEET,
    HEALTHY,
    NEEDS_WORD,
    OPEN_SORE,
    REFERRED,
    clearance_args,
)
from tests.world import Hand, World, phone_of

Step = Callable[[World, Hand, str], object]


def nothing(*_: object) -> None:
    """As it is."""


@dataclass(frozen=True)
class Hold:
    """`code` is what a start is refused with, `then` what follows the screen with its id."""

    code: str
    health: dict[str, Any] = field(default_factory=lambda: dict(HEALTHY))
    feet: dict[str, Any] = field(default_factory=lambda: dict(GOOD_FEET))
    then: Step = nothing


@dataclass
class Held:
    """`start` names the newest of everything, `older` the clean records from an hour before,
    `other` a visit to a client whom nothing holds, by the arguments of `start_visit`."""

    world: World
    hold: Hold
    hand: Hand
    start: dict[str, Any]
    older: dict[str, Any]
    other: dict[str, Any]

    @property
    def client(self) -> str:
        return self.world.client

    @property
    def holding(self) -> tuple[str, str]:
        """The record that holds: its kind and its id."""
        if self.hold.feet != GOOD_FEET:
            return "foot_check", self.start["check"]
        return "health_screen", self.start["screen"]


def expired(world: World, hand: Hand, _: str) -> None:
    hand.clear(world.client, given_on=hand.day(days=-30), expires_on=hand.day(days=-1))


def withdrawn(world: World, hand: Hand, _: str) -> None:
    told = {"clearance": hand.clear(world.client), "reason": "New test results"}
    hand.do("withdraw_clearance", {**told, "withdrawn_at": hand.later(minutes=1).stamp()})


def for_another_rule(world: World, hand: Hand, _: str) -> None:
    hand.clear(world.client, covers=["steroids", "immune_lowered"])


def for_another_client(world: World, hand: Hand, _: str) -> None:
    hand.clear(world.resident)


def by_a_phone_shut_out(world: World, hand: Hand, _: str) -> None:
    lost = phone_of(hand.staff, hand.now)
    world.owner.do("revoke_device", {"device": str(lost.device.pk), "save_unsent": True})
    days = {"given_on": hand.day(), "expires_on": hand.day(days=90)}
    args = clearance_args(client=world.client, **days)
    assert lost.later(minutes=1).no("record_clearance", args) == "device_revoked"


def from_tomorrow(world: World, hand: Hand, _: str) -> None:
    tomorrow = local_day(world.practice, hand.now) + timedelta(days=1)
    hand.clear(world.client, given_on=tomorrow.isoformat())


def dated_ahead(world: World, hand: Hand, _: str) -> None:
    days = {"given_on": hand.day(days=4), "expires_on": hand.day(days=90)}
    args = clearance_args(client=world.client, **days)
    assert hand.no("record_clearance", args) == "date_too_late"


def diabetes_told_later(world: World, hand: Hand, _: str) -> None:
    """On another screen than that of the foot check, which then has seen neither."""
    hand.later(minutes=1).screen(world.client, DIABETIC_HEALTH)


def clinicians_no(_: World, hand: Hand, screen: str) -> None:
    hand.later(minutes=1).answer(screen, verdict="may_not")


def no_to_a_clearance(world: World, hand: Hand, screen: str) -> None:
    clinicians_no(world, hand, screen)
    hand.clear(world.client)


def answered_and_not_asked_again(_: World, hand: Hand, screen: str) -> None:
    hand.later(minutes=1).answer(screen)


def needs_word(then: Step, code: str = "needs_clearance") -> Hold:
    return Hold(code, health=NEEDS_WORD, then=then)


# Four of six toes: the cut-off is two (Ipswich Touch Test, Diabetes Care 2011;34:1517).
NUMB = GOOD_FEET | {
    "touch_test": [f"{side}_{toe}:not_felt" for side in ("left", "right") for toe in (1, 3)]
    + ["left_5:felt", "right_5:felt"]
}
# Neither of the two asks for a clinician's word: together they do (IWGDF's gap, decision of the
# book: diabetes and a changed shape).
DEFORMED = GOOD_FEET | {"deformity": True}
URGENT = HEALTHY | {"sudden_cold_leg": True}
HOLDS = {
    "refer_first": Hold("referral_unanswered", health=REFERRED),
    "refer_first by the feet": Hold("referral_unanswered", feet=OPEN_SORE),
    "emergency": Hold("referral_unanswered", health=URGENT),
    "no clearance for the feet": Hold("needs_clearance", feet=NUMB),
    "no clearance for two records together": Hold(
        "needs_clearance", feet=DEFORMED, then=diabetes_told_later
    ),
    "no clearance": needs_word(nothing),
    "clearance expired yesterday": needs_word(expired),
    "clearance withdrawn": needs_word(withdrawn),
    "clearance for another rule": needs_word(for_another_rule),
    "clearance for another client": needs_word(for_another_client),
    "clearance by a phone shut out": needs_word(by_a_phone_shut_out),
    "clearance from tomorrow": needs_word(from_tomorrow),
    "clearance dated ahead": needs_word(dated_ahead),
    "clinician's no": Hold("clinician_said_no", health=REFERRED, then=clinicians_no),
    "clinician's no to a clearance": needs_word(no_to_a_clearance, "clinician_said_no"),
    "answered, not asked again": Hold(
        "screen_before_answer", health=REFERRED, then=answered_and_not_asked_again
    ),
}


def healthy_client(hand: Hand) -> dict[str, Any]:
    other = hand.register()
    return hand.ready(other, booking=hand.book(other, starts_at=hand.stamp(days=30)))


def at_the_door(world: World, hold: Hold) -> Held:
    noon = (world.now + timedelta(days=1)).replace(hour=12, minute=0, second=0)
    for each in world.hands.values():
        each.now = noon
    hand, client = world.technician, world.client
    older = hand.ready(client)
    other = healthy_client(hand)
    world.owner.now = hand.later(hours=1).now
    screen = hand.screen(client, hold.health)
    check = hand.check(client, screen, hold.feet)
    hold.then(world, hand, screen)
    start = {**hand.later(minutes=1).ready_ids(client), "screen": screen, "check": check}
    hand.later(minutes=1)
    for each in world.hands.values():
        each.now = hand.now
    return Held(world, hold, hand, {**start, "started_at": hand.stamp()}, older, other)
