"""Whether a client may be worked on: the table that both languages keep, and what always holds."""

import json
from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from heelwright.intake.clearances import ClearanceFact
from heelwright.intake.rules import (
    OUTCOMES,
    ConsentFact,
    Facts,
    ReferralFact,
    standing,
)
from heelwright.intake.verdicts import AnswerFact, released_at

CASES = json.loads((Path(__file__).parents[1] / "parity" / "standing.json").read_text())


def moment(text: str | None) -> datetime | None:
    return datetime.fromisoformat(text) if text else None


def answers(told: Sequence[Mapping[str, Any]]) -> list[AnswerFact]:
    return [
        AnswerFact(
            date.fromisoformat(a["answered_on"]),
            datetime.fromisoformat(a["recorded_at"]),
            a["verdict"],
        )
        for a in told
    ]


def facts_from(told: Mapping[str, Any]) -> Facts:
    return Facts(
        at=datetime.fromisoformat(told["at"]),
        day=date.fromisoformat(told["day"]),
        valid_hours=told["valid_hours"],
        decides_for_self=told["decides_for_self"],
        screened_at=moment(told["screened_at"]),
        checked_at=moment(told["checked_at"]),
        judgement=told["judgement"],
        referrals=[ReferralFact(r["level"], answers(r["answers"])) for r in told["referrals"]],
        clearances=[
            ClearanceFact(
                date.fromisoformat(c["given_on"]),
                date.fromisoformat(c["expires_on"]),
                frozenset(c["covers"]),
                moment(c["withdrawn_at"]),
            )
            for c in told["clearances"]
        ],
        consents=[
            ConsentFact(
                c["by_representative"],
                datetime.fromisoformat(c["signed_at"]),
                moment(c["withdrawn_at"]),
            )
            for c in told["consents"]
        ],
    )


@pytest.mark.parametrize("case", CASES, ids=[case["name"] for case in CASES])
def test_the_table(case: dict[str, Any]) -> None:
    decided = standing(facts_from(case["facts"]))
    assert list(decided.reasons) == case["expected"]["reasons"]
    assert decided.may_start == (not case["expected"]["reasons"])


def test_the_table_has_every_reason() -> None:
    told = {reason for case in CASES for reason in case["expected"]["reasons"]}
    assert told == {
        *(
            "clinician_said_no",
            "referral_unanswered",
            "screen_before_answer",
            "no_screen",
            "screen_not_current",
        ),
        *("no_foot_check", "foot_check_not_current", "refer_first", "emergency"),
        *("questions_open", "needs_clearance", "no_consent", "consent_by_representative"),
    }


AT = datetime(2026, 11, 25, 10, tzinfo=UTC)
RULES = ["kidney", "amputated", "hot_foot"]
moments = st.integers(-60, 60).map(lambda hours: AT + timedelta(hours=hours))
days = st.integers(-5, 5).map(lambda n: AT.date() + timedelta(days=n))
verdicts = st.sampled_from(["may", "may_with_conditions", "may_not"])
given_answers = st.builds(AnswerFact, days, moments, verdicts)
referrals = st.builds(
    ReferralFact, st.sampled_from(OUTCOMES), st.lists(given_answers, max_size=4).map(tuple)
)
clearances = st.builds(
    ClearanceFact, days, days, st.frozensets(st.sampled_from(RULES)), st.none() | moments
)
consents = st.builds(ConsentFact, st.booleans(), moments, st.none() | moments)
judgements = st.builds(
    lambda outcomes, held: {
        "outcome": max(outcomes.values(), key=OUTCOMES.index, default="go"),
        "held": held,
        "fired": [{"id": rule, "outcome": outcome} for rule, outcome in outcomes.items()],
    },
    st.dictionaries(st.sampled_from(RULES), st.sampled_from(OUTCOMES)),
    st.booleans(),
)
all_facts = st.builds(
    Facts,
    at=st.just(AT),
    day=st.just(AT.date()),
    valid_hours=st.just(24),
    decides_for_self=st.booleans(),
    screened_at=st.none() | moments,
    checked_at=st.none() | moments,
    judgement=st.none() | judgements,
    referrals=st.lists(referrals, max_size=3),
    clearances=st.lists(clearances, max_size=3),
    consents=st.lists(consents, max_size=3),
)


@given(all_facts, st.sampled_from(["refer_first", "emergency"]))
def test_an_unanswered_referral_holds_whatever_else_is_true(facts: Facts, level: str) -> None:
    more = replace(facts, referrals=[*facts.referrals, ReferralFact(level, ())])
    assert "referral_unanswered" in standing(more).reasons


@given(all_facts, days, moments)
def test_a_no_never_frees(facts: Facts, day: date, at: datetime) -> None:
    """However it is dated: one more no on any referral takes no reason away that holds."""
    no = AnswerFact(day, at, "may_not")
    for n, referral in enumerate(facts.referrals):
        refused = replace(referral, answers=(*referral.answers, no))
        others = [r for m, r in enumerate(facts.referrals) if m != n]
        after = standing(replace(facts, referrals=[*others, refused]))
        assert not after.may_start or standing(facts).may_start


@given(all_facts, st.sampled_from(["refer_first", "emergency"]), st.lists(given_answers))
def test_one_more_referral_frees_nobody(
    facts: Facts, level: str, answers: list[AnswerFact]
) -> None:
    more = replace(facts, referrals=[*facts.referrals, ReferralFact(level, tuple(answers))])
    assert not standing(more).may_start or standing(facts).may_start


@given(all_facts, st.lists(given_answers, min_size=1))
def test_no_yes_written_down_before_a_no_or_said_before_it_lifts_it(
    facts: Facts, answers: list[AnswerFact]
) -> None:
    released = released_at(answers)
    noes = [a for a in answers if a.verdict == "may_not"]
    assert released is None or all(a.recorded_at < released for a in noes)
    newest_no = max((a.answered_on for a in noes), default=date.min)
    if all(a.answered_on < newest_no for a in answers if a.verdict != "may_not"):
        assert released is None


@given(all_facts, clearances)
def test_a_clearance_takes_away_nothing_but_the_need_for_one(
    facts: Facts, clearance: ClearanceFact
) -> None:
    before = standing(facts).reasons
    after = standing(replace(facts, clearances=[*facts.clearances, clearance])).reasons
    assert set(after) <= set(before)
    assert set(before) - set(after) <= {"needs_clearance"}


@given(all_facts, consents)
def test_a_consent_takes_away_nothing_but_the_want_of_one(
    facts: Facts, consent: ConsentFact
) -> None:
    wants = {"no_consent", "consent_by_representative"}
    before = standing(facts).reasons
    after = standing(replace(facts, consents=[*facts.consents, consent])).reasons
    assert set(before) - set(after) <= wants
    assert set(after) - set(before) <= wants


@given(all_facts)
def test_a_serious_outcome_always_holds(facts: Facts) -> None:
    decided = standing(facts)
    if decided.outcome in ("refer_first", "emergency"):
        assert decided.outcome in decided.reasons


@given(all_facts)
def test_work_starts_only_on_a_judgement_that_is_current_and_clear(facts: Facts) -> None:
    if not standing(facts).may_start:
        return
    judgement = facts.judgement
    assert judgement is not None
    assert not judgement["held"]
    assert facts.screened_at is not None
    assert facts.checked_at is not None
    for done in (facts.screened_at, facts.checked_at):
        assert timedelta(0) <= AT - done <= timedelta(hours=24)
    for fired in judgement["fired"]:
        assert fired["outcome"] not in ("refer_first", "emergency")
        covered = any(fired["id"] in c.covers for c in facts.clearances)
        assert fired["outcome"] != "needs_clearance" or covered
    assert facts.consents
    assert all(released_at(r.answers) for r in facts.referrals if OUTCOMES.index(r.level) >= 3)


@given(all_facts, st.permutations(range(3)))
def test_the_order_of_what_is_on_record_decides_nothing(facts: Facts, order: list[int]) -> None:
    def mixed(rows: Any) -> list[Any]:
        return [rows[n] for n in order if n < len(rows)]

    other = replace(
        facts,
        referrals=mixed(facts.referrals),
        clearances=mixed(facts.clearances),
        consents=mixed(facts.consents),
    )
    assert standing(other) == standing(facts)


@given(all_facts)
def test_each_reason_is_named_once(facts: Facts) -> None:
    reasons = standing(facts).reasons
    assert len(set(reasons)) == len(reasons)
