"""What is true of every judgement by the base book, whoever the client is."""

from dataclasses import replace
from random import Random

from hypothesis import given
from hypothesis import strategies as st

from heelwright.rulebook import OUTCOMES, MergedLimits
from heelwright.rulebook.limits import merge
from heelwright.rulebook.schema import Limit
from tests.parity.random_answers import Drawn
from tests.parity.vectors import book_of
from tests.rulebook.clients import BOOK, QUESTIONS, answered_on, clients, definite, randoms, states

HOLDS = OUTCOMES.index("needs_clearance")
BITS = [bit.id for bit in BOOK.content.bits]


def weight(outcome: str) -> int:
    return [*OUTCOMES].index(outcome)  # type: ignore[arg-type]


def tighter(one: MergedLimits, other: MergedLimits) -> bool:
    """Nothing is allowed by `one` that `other` forbids."""
    inf = float("inf")
    upper = ("top_speed_m_s", "softener_max_percent", "softener_max_minutes")
    bits = set(BITS if one.bits_allowed is None else one.bits_allowed)
    return (
        bits <= set(BITS if other.bits_allowed is None else other.bits_allowed)
        and all((getattr(one, k) or inf) <= (getattr(other, k) or inf) for k in upper)
        and all(one.max_rpm.get(bit, inf) <= rpm for bit, rpm in other.max_rpm.items())
        and one.no_bit_in_crack >= other.no_bit_in_crack
        and one.no_blades >= other.no_blades
        and "none" in (one.softener, "none" if other.softener == "allowed" else "")
        and (one.softener_min_minutes or 0) >= (other.softener_min_minutes or 0)
        and set(one.leave_alone) >= set(other.leave_alone)
    )


@given(clients(), randoms)
def test_what_is_decided_stays_decided_when_more_is_answered(client: Drawn, random: Random) -> None:
    before, after = states(BOOK, client), states(BOOK, answered_on(client, random))
    moved = {rule: (state, after[rule]) for rule, state in before.items() if state != after[rule]}
    assert {state for state, _ in moved.values()} <= {"open"}, moved


@given(clients(), randoms)
def test_unless_held_no_further_answer_can_stop_the_work(client: Drawn, random: Random) -> None:
    before, after = BOOK.judge(*client), BOOK.judge(*answered_on(client, random))
    assert weight(after.outcome) >= weight(before.outcome)
    if not before.held:
        assert after.outcome == before.outcome or weight(after.outcome) < HOLDS


@given(clients(), randoms)
def test_an_unanswered_question_never_widens_the_limits(client: Drawn, random: Random) -> None:
    before, after = BOOK.judge(*client), BOOK.judge(*answered_on(client, random))
    assert tighter(before.limits, after.limits)


@given(clients(), st.sampled_from([q for q in QUESTIONS.values() if q.kind == "yes_no"]))
def test_dont_know_is_never_no(client: Drawn, question: object) -> None:
    """A rule that does not look for "don't know" is then open, or the same for yes and for no."""
    key = question.id  # type: ignore[attr-defined]
    answers, findings, age = client
    unsure, yes, no = (
        states(BOOK, (answers | {key: value}, findings, age))
        for value in ("dont_know", True, False)
    )
    for rule in BOOK.content.rules:
        if f"unsure_{key}" not in rule.when and unsure[rule.id] != "open":
            assert unsure[rule.id] == yes[rule.id] == no[rule.id], rule.id


@given(clients(), randoms)
def test_asking_ends_with_a_complete_judgement(client: Drawn, random: Random) -> None:
    """Whoever answers what is asked for, round by round, comes to an end."""
    answers, _, _ = client
    answers = {key: definite(QUESTIONS[key], random) for key in answers}
    age: int | None = None
    for _ in range(10):
        judgement = BOOK.judge(answers, [], age)
        assert bool(judgement.to_ask) != judgement.complete
        wanted = [key for key in judgement.to_ask if key in QUESTIONS]
        answers |= {key: definite(QUESTIONS[key], random) for key in wanted}
        age = random.randint(18, 105) if "age" in judgement.to_ask else age
    assert BOOK.judge(answers, [], age).complete


@given(clients(), st.sampled_from(["us", "uk"]))
def test_an_overlay_only_tightens(client: Drawn, overlay: str) -> None:
    base, there = BOOK.judge(*client), book_of(overlay).judge(*client)
    assert weight(there.outcome) >= weight(base.outcome)
    assert there.held >= base.held
    assert tighter(there.limits, base.limits)


@given(clients())
def test_the_order_of_the_rules_does_not_matter(client: Drawn) -> None:
    turned = type(BOOK)(
        BOOK.content.model_copy(update={"rules": BOOK.content.rules[::-1]}), {}
    ).judge(*client)
    one = BOOK.judge(*client)
    assert replace(turned, fired=(), open=(), to_ask=()) == replace(
        one, fired=(), open=(), to_ask=()
    )
    assert set(turned.fired) == set(one.fired)


limits = st.builds(
    Limit,
    id=st.just("any_limit"),
    source=st.just("invented"),
    basis=st.just("common_practice"),
    bits_allowed=st.none() | st.lists(st.sampled_from(BITS), unique=True),
    top_speed_m_s=st.none() | st.floats(1, 10),
    max_rpm=st.dictionaries(st.sampled_from(BITS), st.integers(1000, 40000)),
    no_bit_in_crack=st.booleans(),
    no_blades=st.booleans(),
    softener=st.sampled_from(["allowed", "none"]),
    softener_max_percent=st.none() | st.floats(1, 50),
    softener_min_minutes=st.none() | st.floats(0, 5),
    softener_max_minutes=st.none() | st.floats(1, 5),
    leave_alone=st.lists(st.sampled_from(BOOK.content.areas), unique=True),
)


@given(st.lists(limits, max_size=4), randoms)
def test_limits_join_in_any_order_and_twice_is_once(some: list[Limit], random: Random) -> None:
    shuffled = random.sample(some, len(some))
    assert merge(shuffled) == merge(some) == merge(some + some)


@given(st.lists(limits, max_size=3), limits)
def test_one_more_limit_only_tightens(some: list[Limit], more: Limit) -> None:
    assert tighter(merge([*some, more]), merge(some))
    assert tighter(merge([*some, more]), merge([more]))
