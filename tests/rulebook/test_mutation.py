"""A change of any one rule of the base book makes a vector fail."""

from collections.abc import Callable, Iterator

import pytest

from heelwright.rulebook import OUTCOMES, Book
from heelwright.rulebook.schema import CLINICIANS_WORD, Content, Rule
from tests.parity.vectors import Case, as_seen, book_of, mismatches, rule_cases

CONTENT = book_of("base").content
CASES = rule_cases()


def negated(rule: Rule) -> Rule:
    return rule.model_copy(update={"when": f"!({rule.when})"})


def lowered(rule: Rule) -> Rule:
    return rule.model_copy(update={"outcome": OUTCOMES[OUTCOMES.index(rule.outcome) - 1]})


def never(rule: Rule) -> Rule:
    return rule.model_copy(update={"when": "false"})


def mutants(rule: Rule) -> Iterator[tuple[str, Callable[[Rule], Rule]]]:
    yield "negated", negated
    yield "never true", never
    if rule.outcome != OUTCOMES[0]:
        yield "lowered", lowered


def mutated(rule: Rule, change: Callable[[Rule], Rule]) -> Book:
    changed = change(rule)
    rules = [changed if one.id == rule.id else one for one in CONTENT.rules]
    unsaid = set() if changed.outcome in CLINICIANS_WORD else {f"reason.{rule.id}"}
    return Book(CONTENT.model_copy(update={"rules": rules, "words": words_but(unsaid)}), {})


def failing(book: Book, cases: list[Case]) -> list[str]:
    return [
        case.name
        for case in cases
        if mismatches(
            as_seen(book.judge(case.answers, case.findings, case.age).as_json()), case.expect
        )
    ]


@pytest.mark.parametrize("rule", CONTENT.rules, ids=lambda rule: rule.id)
def test_each_mutant_is_found(rule: Rule) -> None:
    about = [case for case in CASES if rule.id in case.expect["rules"]]
    assert failing(book_of("base"), about) == []
    for name, change in mutants(rule):
        assert failing(mutated(rule, change), about), f"{rule.id}, {name}, is not noticed"
    dropped = Book(_without(rule), {})
    assert failing(dropped, about), f"{rule.id}, dropped, is not noticed"


def _without(rule: Rule) -> Content:
    keys = {f"rule.{rule.id}", f"rule.{rule.id}.client", f"reason.{rule.id}"}
    rules = [one for one in CONTENT.rules if one.id != rule.id]
    return CONTENT.model_copy(update={"rules": rules, "words": words_but(keys)})


def words_but(keys: set[str]) -> dict[str, dict[str, str]]:
    return {
        language: {key: text for key, text in texts.items() if key not in keys}
        for language, texts in CONTENT.words.items()
    }
