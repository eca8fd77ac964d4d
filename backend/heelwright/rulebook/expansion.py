"""Writes out what the book files say in short, before anything is compiled.

A named condition becomes its expression in brackets, and `'diabetes' in unsure` becomes the
name `unsure_diabetes`: a list could only be known as a whole, a name for each question stays
open by itself until that question is answered. The phone gets expressions written out.
"""

import re
from collections.abc import Mapping
from typing import TypeVar

from heelwright.rulebook.errors import BookError
from heelwright.rulebook.schema import Aftercare, Condition, Content, Interval, Rule

UNSURE = "unsure_"
MOST_CHARACTERS = 8_000
Judged = TypeVar("Judged", Rule, Aftercare, Interval)
LOOKED_UP = re.compile(r"'([a-z][a-z0-9_]+)'\s+in\s+unsure\b", re.ASCII)
STRING_OR_NAME = re.compile(r"'[^']*'|[a-z][a-z0-9_]+", re.ASCII)


def expanded(content: Content) -> Content:
    written: dict[str, str] = {}
    for condition in content.conditions:
        # Only earlier ones are known here, so conditions cannot go round in a circle.
        written[condition.id] = _expand(condition, written)
    return content.model_copy(
        update={
            "conditions": [Condition(id=key, when=source) for key, source in written.items()],
            "rules": [_written_out(rule, written) for rule in content.rules],
            "aftercare": [_written_out(advice, written) for advice in content.aftercare],
            "intervals": [_written_out(interval, written) for interval in content.intervals],
        }
    )


def _written_out(entry: Judged, written: Mapping[str, str]) -> Judged:
    return entry.model_copy(update={"when": entry.when and _expand(entry, written)})


def _expand(entry: Condition | Rule | Aftercare | Interval, written: Mapping[str, str]) -> str:
    def write_out(match: re.Match[str]) -> str:
        word = match[0]
        return f"({written[word]})" if word in written else word

    source = STRING_OR_NAME.sub(write_out, entry.when or "")
    if len(source) > MOST_CHARACTERS:
        # Conditions made of conditions double with each line.
        raise BookError("expressions", entry.id,
                        f"is longer than {MOST_CHARACTERS} characters when written out",
                        "Say it with fewer conditions.")  # fmt: skip
    return LOOKED_UP.sub(rf"{UNSURE}\1", source).strip()
