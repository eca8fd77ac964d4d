"""Checks answers and findings before anything is judged by them.

Answers for type, choices and range; every fault is reported, with its remedy. An unanswered
question is no fault. The twin is answers.ts.
"""

import math
import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from datetime import date
from typing import Any

from heelwright.rulebook.errors import Problem
from heelwright.rulebook.facts import FINDING_KINDS
from heelwright.rulebook.schema import Question
from heelwright.rulebook.touch import TOUCH_SITES, TOUCH_STATES

DONT_KNOW = "dont_know"
MAX_AGE = 130
MAX_LENGTH_MM = 400
MAX_NOTE = 2000
EARLIEST_YEAR = 1910
TOUCH_ANSWERS = frozenset(f"{site}:{state}" for site in TOUCH_SITES for state in TOUCH_STATES)

NAME = re.compile(r"[a-z][a-z0-9_]{0,59}", re.ASCII)
# People often know the year or the month only.
PART_DATE = re.compile(r"([0-9]{4})(?:-([0-9]{2})(?:-([0-9]{2}))?)?", re.ASCII)

REMEDIES = {
    "unknown_question": "Fetch the rulebook again; this question is not in it.",
    "wrong_type": "Answer in the form that the question asks for.",
    "not_a_choice": "Pick one of the choices offered.",
    "repeated_choice": "Name each choice or site once.",
    "out_of_range": "Check the number or the date and enter it again.",
    "unknown_field": "Leave this field out.",
    "missing_field": "Fill this field in.",
}
TEXTS = {
    "unknown_question": "There is no such question in this rulebook.",
    "wrong_type": "The answer is not of the kind that is asked for.",
    "not_a_choice": "The answer is none of the choices.",
    "repeated_choice": "Something is named twice.",
    "out_of_range": "The value is outside what is possible.",
    "unknown_field": "A finding has no such field.",
    "missing_field": "A finding cannot do without this field.",
}


def problem(field: str, code: str) -> Problem:
    return Problem(field=field, code=code, text=TEXTS[code], remedy=REMEDIES[code])


def check_answers(
    questions: Mapping[str, Question], answers: Mapping[str, Any]
) -> Iterator[Problem]:
    for key, answer in answers.items():
        question = questions.get(key)
        if question is None:
            yield problem(f"answers.{key[:60]}", "unknown_question")
        elif answer != DONT_KNOW and (code := _fault(question, answer)):
            yield problem(f"answers.{key}", code)


def check_findings(findings: Sequence[Any]) -> Iterator[Problem]:
    for place, finding in enumerate(findings):
        if not isinstance(finding, Mapping):
            yield problem(f"findings.{place}", "wrong_type")
            continue
        for field in sorted(REQUIRED - finding.keys()):
            yield problem(f"findings.{place}.{field}", "missing_field")
        for field, value in finding.items():
            code = _finding_fault(field, value)
            if code:
                yield problem(f"findings.{place}.{str(field)[:60]}", code)


def check_age(age: Any) -> Iterator[Problem]:
    if age is None:
        return
    if not isinstance(age, int) or isinstance(age, bool):
        yield problem("age", "wrong_type")
    elif not 0 <= age <= MAX_AGE:
        yield problem("age", "out_of_range")


def _fault(question: Question, answer: Any) -> str | None:
    match question.kind:
        case "yes_no":
            return None if isinstance(answer, bool) else "wrong_type"
        case "choice":
            return _choice(question.choices, answer)
        case "choices":
            return _list(answer, question.choices, lambda item: item)
        case "touch_sites":
            return _list(answer, TOUCH_ANSWERS, lambda item: item.split(":")[0])
        case "number":
            return _number(answer, question.min, question.max)
        case "date_known":
            return _part_date(answer)


def _choice(choices: Sequence[str] | frozenset[str], answer: Any) -> str | None:
    if not isinstance(answer, str):
        return "wrong_type"
    return None if answer in choices else "not_a_choice"


def _list(
    answer: Any, choices: Sequence[str] | frozenset[str], subject: Callable[[str], str]
) -> str | None:
    if not isinstance(answer, list) or not all(isinstance(item, str) for item in answer):
        return "wrong_type"
    if not all(item in choices for item in answer):
        return "not_a_choice"
    subjects = {subject(item) for item in answer}
    return None if len(subjects) == len(answer) else "repeated_choice"


def _number(answer: Any, least: float | None, most: float | None) -> str | None:
    if isinstance(answer, bool) or not isinstance(answer, int | float):
        return "wrong_type"
    low, high = -math.inf if least is None else least, math.inf if most is None else most
    inside = low <= answer <= high and abs(answer) < 2**53
    return None if inside else "out_of_range"


def _part_date(answer: Any) -> str | None:
    if not isinstance(answer, str):
        return "wrong_type"
    match = PART_DATE.fullmatch(answer)
    if match is None:
        return "wrong_type"
    year, month, day = (int(part) if part else 1 for part in match.groups())
    try:
        date(year, month, day)
    except ValueError:
        return "out_of_range"
    return None if year >= EARLIEST_YEAR else "out_of_range"


def _one_of(*choices: str) -> Callable[[Any], str | None]:
    return lambda value: _choice(choices, value)


def _text(longest: int) -> Callable[[Any], str | None]:
    def fault(value: Any) -> str | None:
        if not isinstance(value, str):
            return "wrong_type"
        return None if len(value) <= longest else "out_of_range"

    return fault


def _name(value: Any) -> str | None:
    return None if isinstance(value, str) and NAME.fullmatch(value) else "wrong_type"


def _boolean(value: Any) -> str | None:
    return None if isinstance(value, bool) else "wrong_type"


def _length(value: Any) -> str | None:
    return _number(value, 0, MAX_LENGTH_MM)


REQUIRED = {"id", "foot", "view", "region", "what"}
FINDING_FIELDS: dict[str, Callable[[Any], str | None]] = {
    "id": _text(60),
    "foot": _one_of("left", "right"),
    "view": _one_of("top", "sole"),
    "region": _name,
    "what": _one_of(*sorted(FINDING_KINDS)),
    "length_mm": _length,
    "depth_mm": _length,
    "state": _one_of("closed", "open"),
    "bleeding": _boolean,
    "oozing": _boolean,
    "note": _text(MAX_NOTE),
    "follows": _text(60),
    "looked": _boolean,
}


def _finding_fault(field: str, value: Any) -> str | None:
    if field not in FINDING_FIELDS:
        return "unknown_field"
    if value is None and field not in REQUIRED:
        return None
    return FINDING_FIELDS[field](value)
