"""Whether a mishap is closed and when to ask after the client, as pure decisions, at random.

Check: the project's own rule, docs/decisions/0156-what-went-wrong.md.
"""

from dataclasses import dataclass, replace
from datetime import UTC, date, datetime

from hypothesis import given
from hypothesis import strategies as st

from heelwright.visits.aftermath import follow_up, is_closed


@dataclass
class Added:
    number: int
    added_at: datetime
    follow_up_on: date | None
    outcome: str
    closes: bool


DAYS = st.none() | st.dates(date(2026, 1, 1), date(2027, 1, 1))
AT = st.integers(0, 5).map(lambda hour: datetime(2026, 1, 1, hour, tzinfo=UTC))
ADDED = st.lists(
    st.builds(
        Added,
        number=st.just(0),
        added_at=AT,
        follow_up_on=DAYS,
        outcome=st.sampled_from(["", "Healed"]),
        closes=st.booleans(),
    ),
    max_size=6,
).map(lambda added: [replace(one, number=place) for place, one in enumerate(added, 1)])


@given(DAYS, ADDED, st.randoms())
def test_they_do_not_hang_on_the_order_of_a_query(first, added, chance) -> None:  # type: ignore[no-untyped-def]
    shuffled = list(added)
    chance.shuffle(shuffled)
    assert is_closed(shuffled) == is_closed(added)
    assert follow_up(first, shuffled) == follow_up(first, added)


@given(ADDED)
def test_closed_as_long_as_nothing_comes_after_the_closing(added: list[Added]) -> None:
    assert is_closed(added) == (bool(added) and added[-1].closes)


@given(DAYS, ADDED)
def test_a_note_moves_no_day(first: date | None, added: list[Added]) -> None:
    notes = [replace(one, follow_up_on=None, outcome="") for one in added]
    assert follow_up(first, notes) == first


@given(DAYS, ADDED, DAYS)
def test_the_last_word_by_the_clock_counts(
    first: date | None, added: list[Added], day: date | None
) -> None:
    last = Added(len(added) + 1, datetime(2026, 1, 2, tzinfo=UTC), day, "Healed", False)
    assert follow_up(first, [*added, last]) == day
