"""Reads the YAML files of a book, joins base and overlay, and hands over checked entries.

Answers for syntax and for the shape of each entry, with the file and the entry named in
every error. Does not look into expressions.
"""

from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

import yaml
from pydantic import ValidationError

from heelwright.rulebook.errors import BookError
from heelwright.rulebook.own import OWN, read_own
from heelwright.rulebook.plain_yaml import UniqueKeyLoader
from heelwright.rulebook.schema import Content
from heelwright.rulebook.settings import tightened

Origin = Mapping[str, str]
Read = tuple[dict[str, Any], dict[str, str]]

# The list that a file holds, by where the file is; a folder's files are joined in name order.
LISTS = {
    "groups": "questions/*.yaml",
    "facts": "facts.yaml",
    "conditions": "conditions.yaml",
    "rules": "rules/*.yaml",
    "limits": "limits.yaml",
    "bits": "bits.yaml",
    "areas": "areas.yaml",
    "aftercare": "aftercare.yaml",
    "stop_signs": "stop_signs.yaml",
    "mishaps": "mishaps.yaml",
    "consent_texts": "consent_texts.yaml",
    "intervals": "intervals.yaml",
    "services": "services.yaml",
    "road_factors": "road_factors.yaml",
    "road_speeds": "road_speeds.yaml",
    "processes": "processes.yaml",
    "instruments": "instruments.yaml",
    "supplies": "supplies.yaml",
    "machine_checks": "machine_checks.yaml",
    "checklist_items": "checklists.yaml",
    "mileage_rates": "mileage.yaml",
    "mileage_notes": "mileage_notes.yaml",
    "house_call_notes": "house_call_notes.yaml",
}


def read_shipped(books: Path, overlay: str | None) -> Read:
    """The content of base and overlay as the files have it, not yet checked."""
    base, origin = _read_folder(books / "base", books)
    raw = base | {"words": _read_words(books / "words", books), "overlay": overlay}
    if overlay is None:
        return raw, origin
    extra, extra_origin = _read_folder(books / "overlays" / overlay, books)
    extra["words"] = _read_words(books / "overlays" / overlay / "words", books)
    return _joined(raw, extra, extra_origin), origin | extra_origin


def with_own(shipped: Read, own: str | None) -> Read:
    """`own` is the text of a practice's own rules, which come last."""
    raw, origin = shipped
    if own is None:
        return raw, origin
    extra = read_own(own, raw)
    ids = {f"{name}.{key}" for name in LISTS for key in _ids(name, extra.get(name, []))}
    extra_origin = dict.fromkeys({"settings", *ids}, OWN)
    return _joined(raw, extra, extra_origin), origin | extra_origin


def checked(read: Read) -> tuple[Content, dict[str, str]]:
    """The joined content, and for each entry ("rules.hot_foot") the file that it came from."""
    raw, origin = read
    try:
        return Content.model_validate(raw), origin
    except ValidationError as error:
        raise _book_error(error, raw, origin) from None


def _read_folder(folder: Path, books: Path) -> tuple[dict[str, Any], dict[str, str]]:
    raw: dict[str, Any] = {}
    origin: dict[str, str] = {}
    known = set((folder / "words").glob("*.yaml"))
    header = folder / "book.yaml"
    if header.exists():
        raw |= _read(header, books)
        known.add(header)
    for name, pattern in LISTS.items():
        raw[name] = []
        for file in sorted(folder.glob(pattern)):
            known.add(file)
            label = str(file.relative_to(books))
            held = _read(file, books)
            if set(held) != {name} or not isinstance(held[name], list):
                raise BookError(label, name, f"holds {sorted(held)}", f"Give it one list, {name}.")
            raw[name] += held[name]
            origin |= {f"{name}.{key}": label for key in _ids(name, held[name])}
    stray = sorted(set(folder.rglob("*.y*ml")) - known)
    if stray:
        label = str(stray[0].relative_to(books))
        raise BookError(label, "file", "no such book file", "Move it or name it as the guide says.")
    return raw, origin


def _read(file: Path, books: Path) -> dict[str, Any]:
    label = str(file.relative_to(books))
    try:
        held = yaml.load(file.read_text(encoding="utf-8"), Loader=UniqueKeyLoader)  # noqa: S506 (a SafeLoader)
    except yaml.YAMLError as error:
        raise BookError(label, "file", f"is not YAML: {error}", "Mend the named line.") from None
    if not isinstance(held, dict):
        raise BookError(label, "file", "is not a mapping", "Begin it with a key and a colon.")
    return held


def _read_words(folder: Path, books: Path) -> dict[str, dict[str, str]]:
    return {file.stem: _read(file, books) for file in sorted(folder.glob("*.yaml"))}


def _joined(raw: dict[str, Any], extra: dict[str, Any], extra_origin: Origin) -> dict[str, Any]:
    joined = raw | {key: extra[key] for key in extra.keys() - {*LISTS, "settings", "words"}}
    for name in LISTS:
        present = {_entry_id(entry) for entry in raw[name]}
        added = extra.get(name, [])
        for key in map(_entry_id, added):
            if key in present and name != "consent_texts":
                file = extra_origin[f"{name}.{key}"]
                raise BookError(file, key, "is in the base book already", "Choose a new id.")
        joined[name] = raw[name] + added
    joined["words"] = {
        language: raw["words"].get(language, {}) | extra["words"].get(language, {})
        for language in raw["words"] | extra["words"]
    }
    file = extra_origin.get("settings", "book.yaml")
    joined["settings"] = tightened(raw.get("settings", {}), extra.get("settings", {}), file)
    return joined


def _ids(name: str, entries: list[Any]) -> Iterator[str]:
    yield from map(_entry_id, entries)
    if name == "groups":
        groups = (group.get("questions") for group in entries if isinstance(group, dict))
        yield from (_entry_id(question) for held in groups for question in held or [])


def _entry_id(entry: Any) -> str:
    return str(entry.get("id", "?")) if isinstance(entry, dict) else str(entry)


def _book_error(error: ValidationError, raw: dict[str, Any], origin: Origin) -> BookError:
    first = error.errors()[0]
    place = list(first["loc"])
    kind = str(place[0]) if place else "book"
    entry, file = kind, origin.get(kind, "base/book.yaml")
    if kind in LISTS and len(place) > 1 and isinstance(place[1], int):
        entry = _entry_id(raw[kind][place[1]])
        file = origin.get(f"{kind}.{entry}", "base/book.yaml")
        place = place[2:]
    elif kind == "words" and len(place) > 1:
        file, place = f"words/{place[1]}.yaml", place[2:]
    where = ".".join(_with_ids(place, raw, kind, first["loc"]))
    return BookError(
        file, entry, f"{where or 'entry'}: {first['msg']}", "See docs/rulebook.md for what fits."
    )


def _with_ids(place: list[Any], raw: dict[str, Any], kind: str, loc: Any) -> Iterator[str]:
    """`questions.numb_feet.kind` says more than `questions.3.kind`."""
    held: Any = raw[kind][loc[1]] if kind in LISTS and len(loc) > 1 else None
    for part in place:
        inside = isinstance(held, list) and isinstance(part, int) and part < len(held)
        held = held[part] if inside else held.get(part) if isinstance(held, dict) else None
        yield str(held["id"] if inside and isinstance(held, dict) and "id" in held else part)
