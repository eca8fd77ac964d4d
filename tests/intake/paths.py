"""The paths past a hold that `test_paths.py` tries: taps, times, ids, roles, phones, cards."""

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import timedelta
from typing import Any

from tests.factories import sheet_args
from tests.intake.holds import Held, Hold, healthy_client, nothing
from tests.people.test_own_rules import LOOSER
from tests.world import Hand, phone_of

# Which of the two depends on whether the report's own moment was held, or only the proven one.
HELD = frozenset({"visit_of_held_client", "start_not_vouched_for"})
OTHERS = frozenset({"client_of_others"})
UNKNOWN = frozenset({"visit_names_unknown"})
Args = dict[str, Any]


@dataclass(frozen=True)
class Path:
    """`before` is done first; `start` and `report` depart from the arguments of somebody who does
    right. `code` is what a start is refused with, where that is not what the hold says; `told` the
    incidents of which the report raises one. `ahead` is how far the phone's clock runs ahead,
    `instead` what is said in place of a hold's code where the path makes another reason."""

    before: Callable[[Held], object] = nothing
    start: Callable[[Held], Args] = lambda _: {}
    report: Callable[[Held], Args] = lambda _: {}
    hand: Callable[[Held], Hand] = lambda held: held.hand
    asks: bool = True
    code: str | None = None
    told: frozenset[str] = HELD
    ahead: timedelta = timedelta(0)
    instead: dict[str, str] = field(default_factory=dict)

    def refused_with(self, hold: Hold) -> str:
        return self.code or self.instead.get(hold.code, hold.code)


def started(**span: float) -> Callable[[Held], Args]:
    return lambda held: {"started_at": held.hand.stamp(**span)}


def older(*names: str) -> Callable[[Held], Args]:
    return lambda held: {name: held.older[name] for name in names}


def of_another(*names: str) -> Callable[[Held], Args]:
    return lambda held: {name: held.other[name] for name in names}


def seen_all(held: Held) -> Args:
    return {"seen_screens": [held.older["screen"], held.start["screen"]]}


def feet_again(held: Held, screen: str, **more: Any) -> None:
    held.start |= {"screen": screen, "check": held.hand.check(held.client, screen, **more)}


def screen_again(held: Held, **more: Any) -> None:
    feet_again(held, held.hand.later(minutes=20).screen(held.client, **more))
    held.start["started_at"] = held.hand.later(minutes=1).stamp()


def owner_asks(held: Held) -> None:
    held.world.owner.screen(held.client)
    held.start["started_at"] = held.hand.later(minutes=1).stamp()


def clear_all(held: Held) -> None:
    rules = ["kidney", "hurt_foot", "open_sore_seen", "sudden_cold_leg"]
    held.hand.clear(held.client, covers=rules)
    held.start["started_at"] = held.hand.later(minutes=1).stamp()


def merge(held: Held, stays: str, goes: str) -> None:
    held.world.owner.do("merge_clients", {"stays": stays, "goes": goes})


def into_a_clean_card(held: Held) -> None:
    merge(held, held.other["client"], held.client)


def out_of_a_clean_card(held: Held) -> None:
    merge(held, held.client, held.other["client"])


def fresh_clean_card(held: Held) -> None:
    """Made only to be merged: its screen is newer than the one that holds."""
    clean = healthy_client(held.hand.later(minutes=1))
    merge(held, held.client, clean["client"])
    held.start |= {name: clean[name] for name in ("screen", "check", "consent")}
    held.start["started_at"] = held.hand.later(minutes=1).stamp()


def loosen(held: Held) -> None:
    assert held.world.owner.no("adopt_practice_rules", {"text": LOOSER}) == "rules_not_usable"


def sign_all(held: Held) -> None:
    at = held.hand.stamp()
    held.hand.do("record_consent_sheet", sheet_args(client=held.client, decided_at=at))
    held.hand.consent(held.client)


def move(held: Held) -> None:
    moved = {"booking": held.start["booking"], "seen": 10_000, "staff": held.hand.id}
    held.hand.do("move_booking", {**moved, "starts_at": held.hand.stamp(days=40), "minutes": 30})


def cancel(held: Held) -> None:
    cancelled = {"booking": held.start["booking"], "seen": 10_000, "reason": "Wrong day"}
    held.hand.do("cancel_booking", cancelled)


def mark_too_late(held: Held) -> None:
    assert mark(held, held.hand.later(minutes=11)) == "too_late"


def mark_by_another(held: Held) -> None:
    assert mark(held, held.world.owner) == "not_yours"


def mark(held: Held, hand: Hand) -> str:
    what, row = held.holding
    return hand.no("mark_entered_in_error", {"what": what, "row": row, "reason": "Wrong tap"})


def another_phone(held: Held) -> Hand:
    return phone_of(held.hand.staff, held.hand.now)


PATHS = {
    "start": Path(),
    "start again and again": Path(before=lambda held: held.hand.no("start_visit", held.start)),
    "start dated an hour back": Path(start=started(hours=-1)),
    "start dated three days back": Path(start=started(days=-3)),
    "start dated ahead": Path(start=started(hours=2), code="date_too_late"),
    "start by a clock two days ahead": Path(start=started(days=2), ahead=timedelta(days=2)),
    "start by a clock two days behind": Path(start=started(days=-2), ahead=timedelta(days=-2)),
    "an older screen": Path(start=older("screen")),
    "older screen, feet and consent": Path(start=older("screen", "check", "consent")),
    "records of another client": Path(start=of_another("screen", "check", "consent"), told=UNKNOWN),
    "booking under another client": Path(
        start=of_another("client", "screen", "check", "consent"),
        code="not_found",
        told=UNKNOWN,
    ),
    "report alone": Path(asks=False),
    "report alone, ended early": Path(asks=False, report=lambda _: {"ended_early": "Felt unwell"}),
    "report alone, dated an hour back": Path(asks=False, start=started(hours=-1)),
    "report of a refused start, ended early": Path(report=lambda _: {"ended_early": "Felt unwell"}),
    "report of another start than was refused": Path(report=started(hours=-1)),
    "the owner": Path(hand=lambda held: held.world.owner),
    "a colleague without this client": Path(
        hand=lambda held: held.world.colleague, code="not_found", told=OTHERS
    ),
    "another phone of the same person": Path(hand=another_phone),
    "a newer app": Path(start=lambda _: {"seen_booking": 1}),
    "feet looked at again": Path(
        before=lambda held: feet_again(held, held.start["screen"]),
        instead={"screen_before_answer": "referral_unanswered"},
    ),
    "feet looked at again on the older screen": Path(
        before=lambda held: feet_again(held, held.older["screen"]),
        start=older("screen"),
    ),
    "every consent signed": Path(before=sign_all),
    "looser rules of the practice": Path(before=loosen),
    "merged into a clean card": Path(before=into_a_clean_card),
    "a clean card merged in": Path(before=out_of_a_clean_card),
    "a card made clean to be merged in": Path(
        before=fresh_clean_card, instead={"screen_before_answer": "refer_first"}
    ),
    "booking moved": Path(before=move),
    "booking cancelled": Path(before=cancel, code="booking_closed"),
    "marked as a slip too late": Path(before=mark_too_late, start=started()),
    "marked as a slip by another": Path(before=mark_by_another),
}

# What an answer to the same questions must not do for who was referred, or needs a clearance.
AGAIN = {
    "asked again, clean": Path(before=screen_again),
    "asked again, clean, by a newer app": Path(
        before=lambda held: screen_again(held, **seen_all(held))
    ),
    "asked again, clean, by the owner": Path(before=owner_asks),
}
CLEARED = {"a clearance for everything": Path(before=clear_all)}
SERIOUS = ("refer_first", "refer_first by the feet", "emergency", "clinician's no")
# What a clearance that does not hold, for whatever reason, might be made to hold by.
ABOUT_DAYS = [name for name in PATHS if "dated" in name or "clock" in name]
CLEARANCE = ["start", "another phone of the same person", "older screen, feet and consent"]
CLEARANCE += ["feet looked at again"]


def paths_for(hold: str) -> dict[str, Path]:
    if hold in SERIOUS:
        return PATHS | AGAIN | CLEARED
    if hold == "answered, not asked again":
        return PATHS
    if hold == "clearance expired yesterday":
        return PATHS | AGAIN
    return {name: PATHS[name] for name in [*CLEARANCE, *ABOUT_DAYS]} | AGAIN
