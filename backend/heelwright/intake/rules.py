"""The pure decision whether a client may be worked on. `pwa/src/domain/standing.ts` decides
alike."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any, Literal

from heelwright.intake.clearances import ClearanceFact, covered
from heelwright.intake.verdicts import AnswerFact, refused, released_at

Level = Literal["go", "go_with_limits", "needs_clearance", "refer_first", "emergency"]
OUTCOMES: tuple[Level, ...] = (
    "go",
    "go_with_limits",
    "needs_clearance",
    "refer_first",
    "emergency",
)


def rank(outcome: str) -> int:
    """0 for go up to 4 for emergency."""
    return [str(o) for o in OUTCOMES].index(outcome)


def serious(judgement: Mapping[str, Any]) -> set[str]:
    """The rules of a judgement for which somebody else must see the client first."""
    return _fired_from("refer_first", judgement)


def asks(judgement: Mapping[str, Any]) -> set[str]:
    """The rules of a judgement that ask for the word of somebody else, first or before the work."""
    return _fired_from("needs_clearance", judgement)


def may_ask(judgement: Mapping[str, Any]) -> set[str]:
    """The rules of a judgement that fired, or that an answer still missing may make fire."""
    return {rule["id"] for part in ("fired", "open") for rule in judgement[part]}


def _fired_from(outcome: Level, judgement: Mapping[str, Any]) -> set[str]:
    return {r["id"] for r in judgement["fired"] if rank(r["outcome"]) >= rank(outcome)}


@dataclass(frozen=True)
class ReferralFact:
    level: str
    answers: Sequence[AnswerFact]


@dataclass(frozen=True)
class RecordFact:
    """A health screen among screens, or a foot check among foot checks. `seen` are those that
    whoever made it knew of, ids as text; `slip`: entered in error."""

    id: str
    at: datetime
    seen: frozenset[str]
    slip: bool


def stand_together(records: Sequence[RecordFact], valid_hours: int) -> list[str]:
    """The ids of the records that count now, the newest first; empty where that was a slip.

    Beside the newest count those that were still current when it was made and that it did not know
    of, unless one that is newer than they has seen them. Who has seen a record has seen what that
    one had seen.
    """
    by_time = sorted(records, key=lambda record: (record.at, record.id), reverse=True)
    if not by_time or by_time[0].slip:
        return []
    oldest = by_time[0].at - timedelta(hours=valid_hours)
    current = {record.id: record for record in by_time if record.at >= oldest}
    standing = []
    seen: set[str] = set()
    for record in current.values():
        if record.slip:
            continue
        if record.id not in seen:
            standing.append(record.id)
        _add_seen(record, current, seen)
    return standing


def _add_seen(record: RecordFact, current: Mapping[str, RecordFact], seen: set[str]) -> None:
    """Adds what a record has seen. What is there already was followed before, so that each record
    is followed once, however many there are."""
    to_follow = set(record.seen) - seen
    while to_follow:
        one = to_follow.pop()
        seen.add(one)
        to_follow |= current[one].seen - seen if one in current else set()


@dataclass(frozen=True)
class ConsentFact:
    by_representative: bool
    signed_at: datetime
    withdrawn_at: datetime | None


@dataclass(frozen=True)
class Decision:
    """A yes or a no of the client, or of who decides for them, for one purpose. A no is a refusal;
    only a yes is withdrawn."""

    agreed: bool
    at: datetime
    withdrawn_at: datetime | None
    by_representative: bool = False


ConsentState = Literal["agreed", "refused", "withdrawn", "none"]


def ends_at(yes: Decision, all_of_purpose: Sequence[Decision]) -> datetime | None:
    """When a yes ends: taken back, or followed by a no, whichever came first. A no at the same
    moment is the later word."""
    ends = [one.at for one in all_of_purpose if not one.agreed and one.at >= yes.at]
    return min([*ends, *([yes.withdrawn_at] if yes.withdrawn_at else [])], default=None)


def state_of(decisions: Sequence[Decision], at: datetime) -> ConsentState:
    """What holds for one purpose at a moment. Nothing on record is not a no."""
    made = [one for one in decisions if one.at <= at]
    ends = {one: ends_at(one, made) for one in made if one.agreed}
    if any(end is None or end > at for end in ends.values()):
        return "agreed"
    if not made:
        return "none"
    refused = max((one.at for one in made if not one.agreed), default=None)
    withdrawn = max((one.withdrawn_at for one in made if one.withdrawn_at), default=None)
    if refused is None or (withdrawn is not None and refused < withdrawn):
        return "withdrawn"
    return "refused"


@dataclass(frozen=True)
class Facts:
    """Everything the decision rests on: what had happened by `at`, and nothing that came later.

    `screened_at` and `checked_at` are of the newest ones, or None where the newest was entered in
    error. `judgement` is what the rulebook makes of the screens and the foot checks that
    `stand_together`, joined, with what records of the last hours asked a clearance for, in its wire
    form, or None where it can't read them. `day` is the date of `at` in the practice's zone.
    """

    at: datetime
    day: date
    valid_hours: int
    decides_for_self: bool
    screened_at: datetime | None
    checked_at: datetime | None
    judgement: Mapping[str, Any] | None
    referrals: Sequence[ReferralFact] = ()
    clearances: Sequence[ClearanceFact] = ()
    consents: Sequence[ConsentFact] = ()


@dataclass(frozen=True)
class Standing:
    """`reasons` are codes, in the order in which a person should deal with them; empty means go."""

    reasons: tuple[str, ...]
    outcome: str | None

    @property
    def may_start(self) -> bool:
        return not self.reasons


def standing(facts: Facts) -> Standing:
    """Whether work may start at `facts.at`, and if not, every reason why."""
    reasons = [
        *_held_by_referral(facts),
        *_age_of_records(facts),
        *_judged(facts),
        *consented(facts),
    ]
    outcome = facts.judgement["outcome"] if facts.judgement else None
    return Standing(tuple(reasons), outcome)


def _held_by_referral(facts: Facts) -> list[str]:
    """Answering the questions again is no way past: a yes must be on record, and a screen after
    it. Where only a clearance is asked for, `_cleared` says what lets the client go."""
    serious = [r for r in facts.referrals if rank(r.level) >= rank("refer_first")]
    reasons = ["clinician_said_no"] if any(refused(r.answers) for r in facts.referrals) else []
    if any(not r.answers for r in serious):
        reasons.append("referral_unanswered")
    if reasons:
        return reasons
    released = [at for r in serious if (at := released_at(r.answers)) is not None]
    if released and (facts.screened_at is None or facts.screened_at <= max(released)):
        return ["screen_before_answer"]
    return []


def _age_of_records(facts: Facts) -> list[str]:
    oldest = facts.at - timedelta(hours=facts.valid_hours)
    reasons = []
    if facts.screened_at is None:
        reasons.append("no_screen")
    elif not oldest <= facts.screened_at <= facts.at:
        reasons.append("screen_not_current")
    if facts.checked_at is None:
        reasons.append("no_foot_check")
    elif not oldest <= facts.checked_at <= facts.at:
        reasons.append("foot_check_not_current")
    return reasons


def _judged(facts: Facts) -> list[str]:
    judgement = facts.judgement
    if judgement is None:
        return [] if facts.screened_at is None else ["questions_open"]
    outcome = judgement["outcome"]
    if rank(outcome) >= rank("refer_first"):
        return [outcome]
    reasons = []
    if judgement["held"]:
        reasons.append("questions_open")
    if outcome == "needs_clearance" and not _cleared(facts, judgement):
        reasons.append("needs_clearance")
    return reasons


def _cleared(facts: Facts, judgement: Mapping[str, Any]) -> bool:
    """Each rule that asks for a clearance is covered by one that is valid on the day."""
    asked = {r["id"] for r in judgement["fired"] if r["outcome"] == "needs_clearance"}
    return asked <= covered(facts.clearances, facts.at, facts.day)


def consented(facts: Facts) -> list[str]:
    """Why no consent covers this moment; empty where one does."""
    standing_ones = [
        c
        for c in facts.consents
        if c.signed_at <= facts.at and (c.withdrawn_at is None or c.withdrawn_at > facts.at)
    ]
    if not standing_ones:
        return ["no_consent"]
    if not facts.decides_for_self and not any(c.by_representative for c in standing_ones):
        return ["consent_by_representative"]
    return []
