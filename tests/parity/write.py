"""Writes what the phone's tests need of the books, whole judgements, and the number of cases.

Run it after a change of a book or of a vector file: `python -m tests.parity.write`. The diff of
judgements.json is what to review: it shows every judgement that the change has moved.
"""

import json
from typing import Any

from heelwright.intake.letter import reasons, side_of, telling
from tests.parity.mileage_cases import rates_by_place
from tests.parity.vectors import HERE, Case, book_of, engine_cases, read, rule_cases


def written() -> dict[str, Any]:
    """File name to content. Of the words only the reasons stay: nothing is judged by the others."""
    judged = judgements()
    told, together = letters(judged), joined()
    return {
        "books/tiny.json": without_words("tiny"),
        "books/base.json": without_words("base"),
        "books/uk.json": without_words("uk"),
        "judgements.json": judged,
        "joined.json": {"cases": together},
        "letter.json": told,
        "mileage_rates.json": rates_by_place(),
        "counts.json": {
            "engine": len(engine_cases()),
            "rules": len(rule_cases()),
            "problems": len(read("problems.json")["cases"]),
            "breaches": len(read("breaches.json")["cases"]),
            "judgements": len(judged),
            "letter": len(told),
            "together": len(read("together.json")["cases"]),
            "joined": len(together),
        },
    }


def without_words(name: str) -> dict[str, Any]:
    book = book_of(name)
    english = book.content.words["en"].items()
    reasons = {key: text for key, text in english if key.startswith("reason.")}
    return book.as_json() | {"words": {"en": reasons}}


def judgements() -> dict[str, Any]:
    book = book_of("base")
    return {
        f"{place} {case.name}": book.judge(case.answers, case.findings, case.age).as_json()
        for place, case in enumerate(rule_cases())
    }


def letters(judged: dict[str, Any]) -> dict[str, Any]:
    """Of each case of the base book: the reasons of its letter, the questions told, their side."""
    cases = zip(rule_cases(), judged.items(), strict=True)
    return {key: _letter(case, judgement["fired"]) for case, (key, judgement) in cases}


def _letter(case: Case, fired: Any) -> dict[str, Any]:
    book = book_of("base")
    told = [telling(book, part, case.answers, fired) for part in ("health", "foot")]
    return {
        "reasons": reasons(book, fired),
        "told": [[each.id, side_of(book, each, case.answers)] for part in told for each in part],
    }


def joined() -> list[dict[str, Any]]:
    """Each case of the small book with the next, some in threes, and each alone after every rule
    had asked for a clearance; by their places."""
    book, cases = book_of("tiny"), engine_cases()
    judged = [book.judge(case.answers, case.findings, case.age) for case in cases]
    sets = [[place, (place + 1) % len(cases)] for place in range(len(cases))]
    sets += [[place, place - 5, place - 9] for place in range(9, len(cases), 7)]
    rules = [rule.id for rule in book.content.rules]
    asked: list[tuple[list[int], list[str]]] = [(places, []) for places in sets] + [
        ([place], rules) for place in range(len(cases))
    ]
    return [
        {
            "of": places,
            "asked_before": before,
            "joined": book.join([judged[place] for place in places], before).as_json(),
        }
        for places, before in asked
    ]


def as_text(content: Any) -> str:
    rows = content.items()
    body = ",\n".join(f"{json.dumps(key)}: {json.dumps(value)}" for key, value in rows)
    return f"{{\n{body}\n}}\n"


if __name__ == "__main__":
    (HERE / "books").mkdir(exist_ok=True)
    for name, content in written().items():
        (HERE / name).write_text(as_text(content), encoding="utf-8")
