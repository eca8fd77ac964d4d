"""What the base book must do with every question of its own, whatever the questions are."""

import re
from typing import Any

import pytest

from heelwright.rulebook import DONT_KNOW, InvalidAnswers, book_for
from tests.parity.vectors import baseline as stated_baseline
from tests.parity.vectors import read
from tests.rulebook.clients import BOOK

BASELINES = read("rules.json")
# A foot that may not have been seen holds the work until somebody has seen it.
MUST_BE_KNOWN = {"left_foot_seen", "right_foot_seen"}
# The number that many do not have at hand; its limits bind while it is left out.
MAY_BE_LEFT = {"hba1c_percent", "hba1c_mmol_mol"}


def baseline(name: str) -> tuple[dict[str, Any], int]:
    age, answers = stated_baseline(BASELINES, name)
    return answers, age


def test_a_well_client_may_be_worked_on() -> None:
    answers, age = baseline("well")
    judgement = BOOK.judge(answers, [], age)
    assert (judgement.outcome, judgement.complete, judgement.held) == ("go", True, False)


@pytest.mark.parametrize("name", ["well", "diabetic", "old"])
def test_every_question_that_is_skipped_holds(name: str) -> None:
    answers, age = baseline(name)
    for key in BOOK.judge(answers, [], age).shown:
        left = {other: value for other, value in answers.items() if other != key}
        judgement = BOOK.judge(left, [], age)
        assert judgement.held or key in MAY_BE_LEFT, key
        assert key in judgement.to_ask


@pytest.mark.parametrize("name", ["well", "diabetic", "old"])
def test_dont_know_is_settled_by_a_rule_and_no_dead_end(name: str) -> None:
    """A hold that "don't know" alone keeps up could be ended by no clearance and by no question."""
    answers, age = baseline(name)
    stuck = {}
    for key in set(BOOK.judge(answers, [], age).shown) - MUST_BE_KNOWN:
        judgement = BOOK.judge(answers | {key: DONT_KNOW}, [], age)
        # From a referral the way goes on by the clinician's answer and a new screen.
        if judgement.held and not judgement.to_ask and judgement.referral is None:
            stuck[key] = [rule.id for rule in judgement.open]
    assert stuck == {}


def test_diabetic_and_older_clients_get_their_groups_whatever_was_skipped() -> None:
    groups = {group.id: group for group in BOOK.content.groups}
    for group, answers, age in (("diabetes_care", {"diabetes": True}, 50), ("over_65", {}, 65)):
        ids = {question.id for question in groups[group].questions}
        judgement = BOOK.judge(answers, [], age)
        assert ids <= set(judgement.shown)
        assert ids <= set(judgement.to_ask)
        assert judgement.held


def test_what_cannot_be_judged_is_refused_without_quoting_it() -> None:
    with pytest.raises(InvalidAnswers) as caught:
        BOOK.judge({"diabetes": "secret words"}, [], None)
    assert "secret" not in str(caught.value)
    assert caught.value.problems[0].field == "answers.diabetes"


def test_what_is_about_today_is_never_confirmed_from_an_earlier_screen() -> None:
    """Check: our own rule, read off the words that a client is asked with."""
    words = BOOK.content.words["en"]
    about_today = re.compile(r"\b(today|now|right now)\b", re.IGNORECASE)
    loose = [
        question.id
        for group in BOOK.content.groups
        if group.part == "health" and not group.each_time
        for question in group.questions
        if about_today.search(words[f"question.{question.id}"]) and not question.each_time
    ]
    assert loose == []


def test_the_phone_is_told_which_rules_a_place_has_added() -> None:
    base, us = book_for(None).as_json(), book_for("us").as_json()
    known = {rule["id"] for rule in base["rules"]}
    assert base["from_place"] == []
    assert us["from_place"] == [rule["id"] for rule in us["rules"] if rule["id"] not in known]
    assert us["from_place"]


@pytest.mark.parametrize("place", [None, "uk", "us"])
def test_what_counts_also_where_nobody_knows_says_so(place: str | None) -> None:
    """No rule tells a "don't know" as a fact. Our own rule. Diabetes has a rule that says it for
    all of its rules."""
    book = book_for(place).as_json()
    said = re.compile(r"nobody knows|nobody is|not ruled out|or not known|[Nn]obody here can")
    counts = [rule["id"] for rule in book["rules"] if "unsure_" in asserted(rule["when"])]
    words = {rule: book["words"]["en"][f"rule.{rule}"] for rule in counts}
    assert len(words) > 60
    assert {rule: text for rule, text in words.items() if not said.search(text)} == {}
    assert said.search(book["words"]["en"]["rule.diabetes_limits"])


def asserted(when: str) -> str:
    """The expression without what it denies."""
    kept = re.sub(r"unsure_diabetes|!\w+", "", when)
    while "!(" in kept:
        start = kept.index("!(")
        end, depth = start + 2, 1
        while depth:
            depth += {"(": 1, ")": -1}.get(kept[end], 0)
            end += 1
        kept = kept[:start] + kept[end:]
    return kept


def test_no_two_groups_are_called_alike() -> None:
    """Whoever listens to a screen hears by its heading that it is another one."""
    titles = [BOOK.content.words["en"][f"group.{group.id}"] for group in BOOK.content.groups]
    assert len(titles) == len(set(titles))
