"""Pulses are felt for only where a practice says that the licence allows it, and ease nothing.

That the yearly check of a diabetic foot includes leg and foot pulses: ADA Standards of Care 2024,
section 12 (published by a secondary source). The rest is our own rule.
"""

from hypothesis import given

from heelwright.rulebook import OUTCOMES, Book
from tests.parity.random_answers import Drawn
from tests.rulebook.clients import BOOK, clients
from tests.standards.clients import DIABETIC, WELL, fired

SETTINGS = BOOK.content.settings.model_copy(update={"technician_checks_pulses": True})
CHECKING = Book(BOOK.content.model_copy(update={"settings": SETTINGS}), {})
PULSES = {"pulse_left", "pulse_right"}


def test_nobody_is_asked_unless_the_practice_says_so() -> None:
    assert not PULSES & set(BOOK.judge(WELL, [], 50).shown)
    judgement = CHECKING.judge(WELL, [], 50)
    assert set(judgement.shown) >= PULSES
    assert judgement.held
    assert set(judgement.to_ask) == PULSES


def test_a_foot_that_is_not_to_be_seen_has_no_pulse_to_feel_for() -> None:
    judgement = CHECKING.judge(WELL | {"left_foot_seen": "not_shown"}, [], 50)
    assert PULSES & set(judgement.shown) == {"pulse_right"}


def test_a_pulse_that_is_not_felt_is_poor_flow() -> None:
    answers = DIABETIC | {"pulse_left": "felt", "pulse_right": "not_felt"}
    judgement = CHECKING.judge(answers, [], 50)
    assert {"pulse_not_felt", "flow_reduced", "iwgdf_1"} <= fired(judgement)
    assert judgement.complete


@given(clients())
def test_a_pulse_that_is_felt_eases_nothing(client: Drawn) -> None:
    answers, findings, age = client
    unasked = {key: value for key, value in answers.items() if key not in PULSES}
    before = BOOK.judge(unasked, findings, age)
    after = CHECKING.judge(unasked | dict.fromkeys(PULSES, "felt"), findings, age)
    assert after.outcome == before.outcome
    assert after.limits == before.limits


@given(clients())
def test_a_pulse_that_is_not_felt_is_never_milder(client: Drawn) -> None:
    answers, findings, age = client
    felt = CHECKING.judge(answers | dict.fromkeys(PULSES, "felt"), findings, age)
    missed = CHECKING.judge(answers | {"pulse_left": "not_felt"}, findings, age)
    assert OUTCOMES.index(missed.outcome) >= OUTCOMES.index(felt.outcome)
