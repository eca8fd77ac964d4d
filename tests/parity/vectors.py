"""Reads the vector files of this folder and writes their cases out in full.

The phone's tests read the same files (pwa/src/domain/screening/vectors.ts) and must come to
the same number of cases.
"""

import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from heelwright.rulebook import Book, book_for, load_book

HERE = Path(__file__).parent
BOOKS = HERE.parent / "rulebook" / "books"


@dataclass(frozen=True)
class Case:
    name: str
    answers: Mapping[str, Any]
    findings: list[Any]
    age: Any
    expect: Mapping[str, Any]


def read(file: str) -> dict[str, Any]:
    held: dict[str, Any] = json.loads((HERE / file).read_text(encoding="utf-8"))
    return held


@cache
def book_of(name: str) -> Book:
    return load_book(BOOKS) if name == "tiny" else book_for(None if name == "base" else name)


def engine_cases() -> list[Case]:
    return [
        Case(case["name"], case["answers"], case["findings"], case["age"], case["expect"])
        for case in read("engine.json")["cases"]
    ]


def rule_cases() -> list[Case]:
    held = read("rules.json")
    return [case for stated in held["rules"] for case in _cases_of(stated, held)]


def _cases_of(stated: Mapping[str, Any], held: Mapping[str, Any]) -> Iterator[Case]:
    rule, age, plain = stated["rule"], *baseline(held, stated.get("from", "well"))
    found = [held["finding"] | finding for finding in stated.get("findings", [])]
    fires = {"rules": {rule: "fired"}, "outcome_of": {rule: stated["outcome"]}}
    yield Case(f"{rule} fires", plain | stated["fires"], found, age, fires)
    if "quiet" in stated:
        quiet = {"rules": {rule: "quiet"}}
        yield Case(f"{rule} is quiet", plain | stated["quiet"], [], age, quiet)
    if "open" in stated:
        left = {key: value for key, value in plain.items() if key not in stated["open"]}
        still_open = {"rules": {rule: "open"}, "complete": False}
        yield Case(f"{rule} is open", left, [], age, still_open)


def baseline(held: Mapping[str, Any], name: str) -> tuple[int, dict[str, Any]]:
    own = held["baselines"][name]
    if "like" not in own:
        return own["age"], own["answers"]
    age, answers = baseline(held, own["like"])
    return own.get("age", age), answers | own["answers"]


def as_seen(judgement: Mapping[str, Any]) -> dict[str, Any]:
    """A judgement, with each rule's state by its id beside it."""
    fired, still_open = judgement["fired"], judgement["open"]
    return {
        **judgement,
        "fired": [rule["id"] for rule in fired],
        "open": [rule["id"] for rule in still_open],
        "rules": {rule["id"]: "fired" for rule in fired}
        | {rule["id"]: "open" for rule in still_open},
        "outcome_of": {rule["id"]: rule["outcome"] for rule in (*fired, *still_open)},
        "open_missing": {rule["id"]: rule["missing"] for rule in still_open},
    }


def mismatches(seen: Mapping[str, Any], expect: Mapping[str, Any]) -> list[str]:
    wrong = []
    for key, expected in expect.items():
        if key in ("rules", "outcome_of", "open_missing"):
            got = {part: seen[key].get(part, "quiet") for part in expected}
        else:
            got = seen[key]
        if got != expected:
            wrong.append(f"{key}: {got!r}, not {expected!r}")
    return wrong
