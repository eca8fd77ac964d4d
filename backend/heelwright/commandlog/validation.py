"""Turns a pydantic complaint into a refusal that names the field and the remedy, and quotes
nothing."""

from collections.abc import Mapping, Sequence
from typing import Any, TypeVar

from pydantic import BaseModel, ValidationError

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
    "timezone_aware": ("wrong_type", "The time has no time zone.", "Send it with its offset."),
}
OTHERWISE = ("wrong_type", "This is not of the right kind.", "Check what was entered.")


def parse(shape: type[Shape], raw: object) -> Shape:
    """The arguments as their declared shape; raises Refused for the first thing that is wrong."""
    try:
        return shape.model_validate(raw)
    except ValidationError as problem:
        raise refusal(problem.errors(include_input=False, include_url=False)) from None


def refusal(problems: Sequence[Mapping[str, Any]]) -> Refused:
    """A refusal for the first of pydantic's problems. A validator of ours may raise `Refused` codes
    through PydanticCustomError with `text` and `remedy` in its context."""
    first = problems[0]
    field = ".".join(str(part) for part in first["loc"]) or None
    context = first.get("ctx", {})
    if "remedy" in context:
        return Refused(first["type"], context["text"], context["remedy"], field=field)
    code, text, remedy = WORDS.get(first["type"], OTHERWISE)
    return Refused(code, text, remedy, field=field)
