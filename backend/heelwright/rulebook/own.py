"""A practice's own overlay: one YAML text from its owner, which may add and never loosen.

Answers for its size, its plain YAML (no anchors, aliases or tags), the sections that it may have
and the ids that it may give. What its entries hold is checked with the rest of the book. The
text comes from a person: whatever it holds, it ends in a book or in a BookError.
"""

import json
from collections.abc import Iterator, Mapping
from typing import Any

import yaml
from pydantic import ValidationError

from heelwright.rulebook.errors import BookError
from heelwright.rulebook.limits import merge
from heelwright.rulebook.plain_yaml import UniqueKeyLoader
from heelwright.rulebook.schema import OUTCOMES, REFER_TO, WITHIN, Limit, Rule

OWN = "own rules"
PREFIX = (
    "own_"  # no shipped entry begins so: a later edition cannot take an id that a practice uses
)
MOST_CHARACTERS = 50_000
MOST_DEPTH = 8
LISTS = (
    *("rules", "limits", "groups", "conditions"),
    *("areas", "aftercare", "stop_signs", "intervals", "checklist_items"),
)
SECTIONS = (*LISTS, "settings", "words")
ORDERS: Mapping[str, tuple[str, ...]] = {
    "outcome": OUTCOMES,
    "refer_to": REFER_TO,
    "within": WITHIN,
}


def read_own(text: str, book: Mapping[str, Any]) -> dict[str, Any]:
    """The sections of `text`, fit to be joined to `book`, which is the raw content so far."""
    if len(text) > MOST_CHARACTERS:
        raise _fault("text", f"is longer than {MOST_CHARACTERS} characters", "Make it shorter.")
    held = _parsed(text)
    for section in held:
        if section not in SECTIONS:
            raise _fault(str(section)[:60], "is no section of own rules",
                         f"Use these: {', '.join(SECTIONS)}.")  # fmt: skip
    lists = {name: _entries(name, held.get(name, []), book[name]) for name in LISTS}
    return lists | {
        "settings": _mapping("settings", held.get("settings", {})),
        "words": _words(_mapping("words", held.get("words", {})), list(book["words"])),
    }


def _parsed(text: str) -> dict[str, Any]:
    try:
        _check_plain(text)
        held = yaml.load(text, Loader=UniqueKeyLoader)  # noqa: S506 (a SafeLoader)
        # What JSON cannot hold, the phone cannot be sent: dates, NaN, half characters.
        json.dumps(held, allow_nan=False, ensure_ascii=False).encode()
    except yaml.MarkedYAMLError as error:
        raise _not_plain(error.problem_mark, error.problem) from None
    except (yaml.YAMLError, ValueError, TypeError):
        raise _fault("text", "holds a value that is neither text, number, true nor false",
                     "Put texts, dates too, in quotation marks.") from None  # fmt: skip
    return _mapping("text", held)


def _check_plain(text: str) -> None:
    """Aliases can blow a short text up beyond all bounds, and deep nesting the stack."""
    depth = 0
    for event in yaml.parse(text, Loader=yaml.SafeLoader):
        if getattr(event, "anchor", None) or getattr(event, "tag", None):
            raise _not_plain(event.start_mark, "anchors, aliases and tags are not used here")
        if isinstance(event, yaml.CollectionStartEvent):
            depth += 1
        elif isinstance(event, yaml.CollectionEndEvent):
            depth -= 1
        if depth > MOST_DEPTH:
            raise _not_plain(event.start_mark, "lists and sections are nested too deep")


def _not_plain(mark: Any, problem: str | None) -> BookError:
    line = f" in line {mark.line + 1}" if mark else ""
    return _fault("text", f"is not plain YAML{line}: {problem}",
                  "Mend that line; put texts in quotation marks.")  # fmt: skip


def _mapping(name: str, held: Any) -> dict[str, Any]:
    if not isinstance(held, dict) or not all(isinstance(key, str) for key in held):
        raise _fault(name, "is not a list of names, each with a colon",
                     "Write it as the guide to the rulebook shows.")  # fmt: skip
    return held


def _entries(section: str, held: Any, present: list[Any]) -> list[Any]:
    if not isinstance(held, list):
        raise _fault(section, "is not a list", "Begin each of its entries with a dash.")
    known = {_id(section, entry): entry for entry in present}
    for entry in held:
        _check_id(section, entry, known)
        questions = entry.get("questions") if section == "groups" else None
        for question in questions if isinstance(questions, list) else []:
            _check_id("questions", question, {})
    return held


def _id(section: str, entry: Any) -> str:
    held = entry if section == "areas" else entry.get("id") if isinstance(entry, dict) else None
    return held[:60] if isinstance(held, str) else "entry without an id"


def _check_id(section: str, entry: Any, known: Mapping[str, Any]) -> None:
    entry_id = _id(section, entry)
    if entry_id.startswith(PREFIX):
        return
    remedy = f"Begin its id with {PREFIX}. The book's entry stays; the stricter of both binds."
    if entry_id not in known:
        raise _fault(entry_id, "is not marked as your own", remedy)
    looser = ", ".join(_looser(section, known[entry_id], entry))
    says = f"is in the book already, and yours is looser in: {looser}"
    raise _fault(entry_id, says if looser else "is in the book already", remedy)


def _looser(section: str, book: Any, own: Any) -> Iterator[str]:
    """The parts in which the owner's version would allow more, as far as it can be read."""
    try:
        if section == "rules":
            yield from _looser_rule(Rule.model_validate(book), Rule.model_validate(own))
        elif section == "limits":
            yield from _looser_limit(Limit.model_validate(book), Limit.model_validate(own))
    except ValidationError:
        return


def _looser_rule(book: Rule, own: Rule) -> Iterator[str]:
    for part, order in ORDERS.items():
        before, after = getattr(book, part), getattr(own, part)
        if before is not None and (after is None or order.index(after) < order.index(before)):
            yield f"{part} ({before} is stricter than {after})"
    if own.when != book.when:
        yield "when (it may be true less often)"
    if missing := sorted(set(book.limits) - set(own.limits)):
        yield f"limits (without {', '.join(missing)})"


def _looser_limit(book: Limit, own: Limit) -> Iterator[str]:
    alone, both = merge([own]), merge([book, own])
    for part, value in vars(both).items():
        if getattr(alone, part) != value:
            yield part


def _words(held: dict[str, Any], languages: list[str]) -> dict[str, dict[str, str]]:
    for language, texts in held.items():
        if language not in languages:
            raise _fault(f"words.{language[:60]}", "is a language that the book does not have",
                         f"Use these: {', '.join(languages)}.")  # fmt: skip
        for key, text in _mapping(f"words.{language}", texts).items():
            _check_word(key, text)
    return held


def _check_word(key: str, text: Any) -> None:
    if not key.partition(".")[2].startswith(PREFIX):
        raise _fault(key[:60], "has words for what is not your own",
                     f"Write words only for entries that begin with {PREFIX}.")  # fmt: skip
    if not isinstance(text, str):
        raise _fault(key[:60], "has words that are not text", "Put them in quotation marks.")


def _fault(entry: str, text: str, remedy: str) -> BookError:
    return BookError(OWN, entry, text, remedy)
