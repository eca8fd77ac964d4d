"""Turns a pydantic complaint into a refusal that names the field and the remedy, and quotes
nothing."""

import re
from collections.abc import Mapping, Sequence
from itertools import takewhile
from typing import Any, TypeVar

from pydantic import BaseModel, ValidationError

from heelwright.commandlog.device_clock import Telling
from heelwright.declarations import Refused

Shape = TypeVar("Shape", bound=BaseModel)

# pydantic's error types, in the words a person gets.
WORDS = {
    "missing": ("missing_field", "Something is missing.", "Fill it in."),
    "extra_forbidden": ("unknown_field", "This field is not known.", "Update the app; try again."),
    "string_too_long": ("too_long", "That is too long.", "Shorten it."),
    "string_too_short": ("too_short", "This is empty or too short.", "Fill it in."),
    "too_short": ("too_short", "This is empty or too short.", "Fill it in."),
    "too_long": ("too_long", "There are too many entries.", "Shorten the list."),
    "greater_than_equal": ("too_small", "That is too small or too early.", "Check it."),
    "greater_than": ("too_small", "That is too small or too early.", "Check it."),
    "less_than_equal": ("too_large", "That is too large or too late.", "Check it."),
    "less_than": ("too_large", "That is too large or too late.", "Check it."),
    "string_unicode": (
        "odd_character",
        "There is a character in it that can't be kept.",
        "Type this text again.",
    ),
    "timezone_aware": ("wrong_type", "The time has no time zone.", "Send it with its offset."),
}
OTHERWISE = ("wrong_type", "This is not of the right kind.", "Check what was entered.")


PART = re.compile(r"[a-z0-9][a-z0-9_]{0,59}", re.ASCII)
DEEPEST = 8
UNKEPT = re.compile("[\x00\ud800-\udfff]")


def known_name(field: str | None) -> str | None:
    """A field's path as far as it is made of names as ours are; others may hold anything."""
    parts = (field or "").split(".")[:DEEPEST]
    return ".".join(takewhile(PART.fullmatch, parts)) or None


def check_characters(value: object, path: tuple[str, ...] = ()) -> None:
    """Raise Refused for text that not every database and font can hold: NUL, and half of a pair."""
    if isinstance(value, str):
        if UNKEPT.search(value):
            raise Refused(
                "odd_character",
                "There is a character in it that can't be kept.",
                "Type this text again.",
                field=".".join(path),
            )
    elif isinstance(value, Mapping):
        for name, part in value.items():
            check_characters(name, path)
            check_characters(part, (*path, str(name)))
    elif isinstance(value, list):
        for place, part in enumerate(value):
            check_characters(part, (*path, str(place)))


def parse(shape: type[Shape], raw: object, told: Telling) -> Shape:
    """The arguments as their declared shape; raises Refused for the first thing that is wrong."""
    try:
        return shape.model_validate(raw, context=told)
    except ValidationError as problem:
        raise refusal(problem.errors(include_input=False, include_url=False)) from None


def refusal(problems: Sequence[Mapping[str, Any]]) -> Refused:
    """A refusal for the first of pydantic's problems. A validator of ours may raise `Refused` codes
    through PydanticCustomError with `text` and `remedy` in its context; one of a whole shape names
    the `field` to change there."""
    first = problems[0]
    context = first.get("ctx", {})
    inside = [context["field"]] if "field" in context else []
    field = ".".join(str(part) for part in (*first["loc"], *inside))
    if "remedy" in context:
        return Refused(first["type"], context["text"], context["remedy"], field=field)
    code, text, remedy = WORDS.get(first["type"], OTHERWISE)
    return Refused(code, text, remedy, field=field)
