"""Words to type into every field, and the search for them in bytes, in whatever form they lie.

All begin with one stem, so that a search for the stem finds every one of them. What is compressed
or sealed is not found; the first is not done by anything that is searched, the second is the aim.
"""

import base64
import re
from collections.abc import Iterator, Mapping
from itertools import count
from pathlib import Path
from typing import Any

from pydantic import BaseModel, TypeAdapter

from heelwright.commandlog.wire import TimeOfDay
from heelwright.schedule.rules.repeats import RULE
from heelwright.takings.arguments import Amount, Currency, Rate

STEM = "vexquabrim"
# What may lie in the clear has a stem of its own, and must be found: so the real thing is searched.
CLEAR_STEM = "jolprendak"
CHUNK = 1 << 22


class Markers:
    """`markers["note"]` is a new word for that field; `planted` tells which fields got one."""

    def __init__(self, stem: str = STEM) -> None:
        self._stem = stem
        self._count = count(1)
        self.planted: set[str] = set()

    def __getitem__(self, field: str) -> str:
        self.planted.add(field)
        number = next(self._count)
        return self._stem + chr(ord("a") + number // 26 % 26) + chr(ord("a") + number % 26)


def forms(stem: str) -> dict[str, bytes]:
    """The stem as text of several encodings, as hex, and as base64 from each of three places on."""
    plain = stem.encode()
    found = {
        "utf-8": plain,
        "utf-16-le": stem.encode("utf-16-le"),
        "utf-16-be": stem.encode("utf-16-be"),
        "hex": plain.hex().encode(),
        "HEX": plain.hex().upper().encode(),
    }
    for before in range(3):
        encoded = base64.b64encode(bytes(before) + plain)
        first, last = -(-before * 8 // 6), (before + len(plain)) * 8 // 6
        found[f"base64 after {before}"] = encoded[first:last]
    return found


def found_in(data: bytes, stem: str = STEM) -> set[str]:
    return {name for name, form in forms(stem).items() if form in data}


def found_in_files(folder: Path, stem: str = STEM) -> dict[str, set[str]]:
    """Every file below the folder in which the stem lies, with the forms it has there."""
    pattern = re.compile(b"|".join(map(re.escape, forms(stem).values())))
    hits = {
        str(path.relative_to(folder)): path
        for path in sorted(folder.rglob("*"))
        if path.is_file() and _search(pattern, path)
    }
    return {name: found_in(path.read_bytes(), stem) for name, path in hits.items()}


def _search(pattern: re.Pattern[bytes], path: Path) -> bool:
    kept = b""
    with path.open("rb") as file:
        while chunk := file.read(CHUNK):
            if pattern.search(kept + chunk):
                return True
            kept = chunk[-100:]
    return False


# Patterns that leave no room for a word.
NARROW = {TypeAdapter(TimeOfDay).json_schema()["pattern"], RULE, "^[A-Z]{3}$"}
NARROW |= {TypeAdapter(kind).json_schema()["pattern"] for kind in (Currency, Amount, Rate)}


def text_fields(name: str, arguments: type[BaseModel]) -> set[str]:
    """Every place of a command where free text may stand, as `command.field.part`."""
    schema = arguments.model_json_schema()
    return set(_texts(name, schema, schema.get("$defs", {})))


def _texts(path: str, schema: Mapping[str, Any], named: Mapping[str, Any]) -> Iterator[str]:
    if "$ref" in schema:
        schema = named[schema["$ref"].rpartition("/")[2]]
    for part in schema.get("anyOf", ()):
        yield from _texts(path, part, named)
    for field, part in schema.get("properties", {}).items():
        yield from _texts(f"{path}.{field}", part, named)
    if isinstance(schema.get("additionalProperties"), dict):
        yield f"{path}.key"
        yield from _texts(path, schema["additionalProperties"], named)
    for part in schema.get("patternProperties", {}).values():
        yield f"{path}.key"
        yield from _texts(path, part, named)
    if "items" in schema:
        yield from _texts(path, schema["items"], named)
    is_text = schema.get("type") == "string" and not {"enum", "const", "format"} & schema.keys()
    if is_text and schema.get("pattern") not in NARROW:
        yield path
