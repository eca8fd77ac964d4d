"""Whether one JSON Schema takes all that another took: the keywords that pydantic writes, of draft
2020-12 (https://json-schema.org/draft/2020-12/json-schema-validation)."""

from collections.abc import Iterator
from typing import Any

Schema = dict[str, Any]
AT_MOST = ("maximum", "exclusiveMaximum", "maxLength", "maxItems", "maxProperties")
AT_LEAST = ("minimum", "exclusiveMinimum", "minLength", "minItems", "minProperties")
THE_SAME = ("type", "const", "format", "pattern")
NOT_COMPARED = {"title", "description", "default", "$defs"}
COMPARED = {*AT_MOST, *AT_LEAST, *THE_SAME, "enum", "anyOf", "properties", "required", "items"}
COMPARED |= {"propertyNames", "additionalProperties"}


def narrowed(then: Schema, today: Schema) -> list[str]:
    """Where `today` refuses what `then` took: a path and the keyword each."""
    return list(_narrowed(_Within(then), _Within(today), ""))


class _Within:
    """A part of a schema; references are followed in the whole."""

    def __init__(self, whole: Schema, part: Any = None) -> None:
        self.whole = whole
        self.part = whole if part is None else part
        if "$ref" in self.part:
            self.part = whole["$defs"][self.part["$ref"].removeprefix("#/$defs/")]
        unknown = set(self.part) - COMPARED - NOT_COMPARED
        assert not unknown, f"keywords that are not compared: {unknown}"

    def get(self, keyword: str) -> Any:
        return self.part.get(keyword)

    def of(self, part: Any) -> "_Within":
        return _Within(self.whole, part)

    def choices(self) -> "list[_Within]":
        return [self.of(part) for part in self.part.get("anyOf", [self.part])]


def _narrowed(then: _Within, today: _Within, path: str) -> Iterator[str]:
    if "anyOf" in then.part or "anyOf" in today.part:
        for choice in then.choices():
            if all(list(_narrowed(choice, other, path)) for other in today.choices()):
                yield f"{path}: a choice of anyOf"
        return
    yield from (f"{path}: {keyword}" for keyword in _limits(then, today))
    yield from _fields(then, today, path)
    for keyword in ("items", "propertyNames", "additionalProperties"):
        yield from _nested(then.get(keyword), today.get(keyword), then, today, f"{path}/{keyword}")


def _limits(then: _Within, today: _Within) -> Iterator[str]:
    for keyword in AT_MOST:
        if today.get(keyword) is not None:
            before = then.get(keyword)
            if before is None or before > today.get(keyword):
                yield keyword
    for keyword in AT_LEAST:
        if today.get(keyword) is not None:
            before = then.get(keyword)
            if before is None or before < today.get(keyword):
                yield keyword
    for keyword in THE_SAME:
        if today.get(keyword) not in (None, then.get(keyword)):
            yield keyword
    if today.get("enum") is not None and not set(then.get("enum") or [None]) <= set(
        today.part["enum"]
    ):
        yield "enum"


def _fields(then: _Within, today: _Within, path: str) -> Iterator[str]:
    yield from (
        f"{path}/{name}: required"
        for name in set(today.get("required") or ()) - set(then.get("required") or ())
    )
    for name, part in (then.get("properties") or {}).items():
        known = (today.get("properties") or {}).get(name)
        if known is not None:
            yield from _narrowed(then.of(part), today.of(known), f"{path}/{name}")
        elif today.get("properties") is not None and today.get("additionalProperties") is not True:
            yield f"{path}/{name}: gone"


def _nested(part: Any, known: Any, then: _Within, today: _Within, path: str) -> Iterator[str]:
    """Under one keyword there is a schema, or a yes or no; where there is none, all is taken."""
    if isinstance(known, dict) and part is not False:
        before = part if isinstance(part, dict) else {}
        yield from _narrowed(then.of(before), today.of(known), path)
    elif known is False and part is not False:
        yield path
