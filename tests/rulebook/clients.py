"""Clients for the property tests: answers that have been given so far, and ways to go on."""

from collections.abc import Mapping
from random import Random
from typing import Any

from hypothesis import strategies as st

from heelwright.rulebook import Book
from heelwright.rulebook.schema import Question
from tests.parity.random_answers import Drawn, answer, draw
from tests.parity.vectors import book_of

BOOK = book_of("base")
QUESTIONS: dict[str, Question] = {
    question.id: question for group in BOOK.content.groups for question in group.questions
}
randoms = st.integers(min_value=0, max_value=2**32).map(Random)


@st.composite
def clients(draw_from: st.DrawFn, book: Book = BOOK) -> Drawn:
    return draw(book, draw_from(randoms))


def answered_on(client: Drawn, random: Random) -> Drawn:
    """The same client, some more of what applies answered, "don't know" included."""
    answers, findings, age = client
    shown = BOOK.judge(*client).shown
    more = {key: answer(QUESTIONS[key], random, 0.3) for key in shown if random.random() < 0.7}
    return more | answers, findings, random.randint(0, 110) if age is None else age


def definite(question: Question, random: Random) -> Any:
    """An answer that settles the question."""
    if question.kind == "touch_sites":
        sides = ((side, toe) for side in ("left", "right") for toe in (1, 3, 5))
        return [f"{side}_{toe}:{random.choice(['felt', 'not_felt'])}" for side, toe in sides]
    if question.id in ("left_foot_seen", "right_foot_seen"):
        return random.choice(["seen", "no_foot"]) if question.id.startswith("l") else "seen"
    given = "dont_know"
    while given == "dont_know":
        given = answer(question, random, 0.3)
    return given


def states(book: Book, client: Drawn) -> Mapping[str, str]:
    judgement = book.judge(*client)
    quiet = {rule.id: "quiet" for rule in book.content.rules}
    fired = {rule.id: "fired" for rule in judgement.fired}
    return quiet | fired | {rule.id: "open" for rule in judgement.open}
