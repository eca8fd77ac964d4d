"""Which screens stand together, from the vectors that the phone runs as well; and what is joined.

Check: our own rule, no source outside the project.
"""

from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from heelwright.intake.rules import OUTCOMES, RecordFact, rank, stand_together
from heelwright.rulebook import Judgement
from tests.parity.vectors import book_of, engine_cases, read

HELD = read("together.json")
JOINED = read("joined.json")["cases"]
HOURS = 24


def screen(told: dict[str, Any]) -> RecordFact:
    at = datetime.fromisoformat(told["at"])
    return RecordFact(told["id"], at, frozenset(told["seen"]), told["slip"])


@pytest.mark.parametrize("case", HELD["cases"], ids=[case["name"] for case in HELD["cases"]])
def test_which_stand_together(case: dict[str, Any]) -> None:
    screens = [screen(told) for told in case["screens"]]
    assert stand_together(screens, HELD["valid_hours"]) == case["expect"]
    assert stand_together(screens[::-1], HELD["valid_hours"]) == case["expect"]


def test_no_vector_is_skipped() -> None:
    names = [case["name"] for case in HELD["cases"]]
    assert len(names) == len(set(names)) == read("counts.json")["together"] >= 20


AT = datetime(2026, 11, 25, 10, tzinfo=UTC)
IDS = "abcdefgh"
sets_of_screens = st.lists(
    st.builds(
        RecordFact,
        st.sampled_from(IDS),
        st.integers(0, 30).map(lambda hours: AT - timedelta(hours=hours)),
        st.frozensets(st.sampled_from(IDS), max_size=3),
        st.sampled_from([False, False, False, True]),
    ),
    unique_by=lambda one: one.id,
    max_size=6,
)
outcomes = st.fixed_dictionaries({id_: st.sampled_from(OUTCOMES) for id_ in [*IDS, "z"]})


def worst(screens: list[RecordFact], outcome: dict[str, str]) -> int:
    return max((rank(outcome[id_]) for id_ in stand_together(screens, HOURS)), default=-1)


@given(sets_of_screens, outcomes, st.integers(0, 6))
def test_one_more_that_nobody_knew_makes_nothing_milder(
    screens: list[RecordFact], outcome: dict[str, str], hours: int
) -> None:
    """Unless what stood is out of date by then: asking anew is then due in any case."""
    more = RecordFact("z", AT - timedelta(hours=hours), frozenset(), slip=False)
    newest = max(one.at for one in [*screens, more])
    current = [one for one in screens if one.at >= newest - timedelta(hours=HOURS)]
    before = stand_together(current, HOURS)
    if before:
        assert set(before) <= set(stand_together([*current, more], HOURS))
        assert worst([*current, more], outcome) >= worst(current, outcome)


@given(sets_of_screens)
def test_one_that_has_seen_all_stands_alone(screens: list[RecordFact]) -> None:
    last = RecordFact("z", AT + timedelta(hours=1), frozenset(IDS), slip=False)
    assert stand_together([*screens, last], HOURS) == ["z"]


@given(sets_of_screens)
def test_the_newest_always_counts_and_no_slip_does(screens: list[RecordFact]) -> None:
    standing = stand_together(screens, HOURS)
    slips = {one.id for one in screens if one.slip}
    assert not slips & set(standing)
    if screens:
        newest = max(screens, key=lambda one: (one.at, one.id))
        assert standing[:1] == ([] if newest.slip else [newest.id])


def judged(place: int) -> Judgement:
    case = engine_cases()[place]
    return book_of("tiny").judge(case.answers, case.findings, case.age)


@pytest.mark.parametrize("case", JOINED, ids=[str(case["of"]) for case in JOINED])
def test_joined(case: dict[str, Any]) -> None:
    parts = [judged(place) for place in case["of"]]
    assert book_of("tiny").join(parts, case["asked_before"]).as_json() == case["joined"]


@pytest.mark.parametrize("case", JOINED, ids=[str(case["of"]) for case in JOINED])
def test_what_asked_for_a_clearance_before_still_asks(case: dict[str, Any]) -> None:
    """All but what a later look may settle, and nothing but what asks for a clearance. What refers
    on by now, and was not found since, stays what it was."""
    parts = [judged(place) for place in case["of"]]
    joined = book_of("tiny").join(parts, case["asked_before"])
    found = {rule.id: rule.outcome for part in parts for rule in part.fired}
    serious = {"fever_now", "crack_opened", "numb_diabetic"}
    before = {"dialysis", *serious} if case["asked_before"] else set()
    asked = dict.fromkeys(before, "needs_clearance")
    assert {rule.id: rule.outcome for rule in joined.fired} == asked | found
    assert joined.outcome == max(
        [*asked.values(), *found.values()], key=OUTCOMES.index, default="go"
    )


places = st.integers(0, len(engine_cases()) - 1)


@given(places)
def test_one_alone_is_joined_to_itself(place: int) -> None:
    assert book_of("tiny").join([judged(place)]) == judged(place)


@given(st.lists(places, min_size=2, max_size=4))
def test_the_joined_one_is_never_milder(several: list[int]) -> None:
    parts = [judged(place) for place in several]
    joined = book_of("tiny").join(parts)
    assert joined.outcome == max((part.outcome for part in parts), key=OUTCOMES.index)
    assert joined.held == any(part.held for part in parts)
    for part in parts:
        assert {rule.id for rule in part.fired} <= {rule.id for rule in joined.fired}
        assert not part.limits.no_bit_in_crack or joined.limits.no_bit_in_crack
        assert set(part.limits.leave_alone) <= set(joined.limits.leave_alone)
        assert part.limits.softener == "allowed" or joined.limits.softener == "none"
        if part.limits.top_speed_m_s is not None:
            assert joined.limits.top_speed_m_s is not None
            assert joined.limits.top_speed_m_s <= part.limits.top_speed_m_s
