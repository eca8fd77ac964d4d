"""Writes out what the book files say in short, before anything is compiled.

A named condition becomes its expression in brackets, and `'diabetes' in unsure` becomes the
name `unsure_diabetes`: a list could only be known as a whole, a name for each question stays
open by itself until that question is answered. The phone gets expressions written out.
"""

import re
from collections.abc import Mapping

from heelwright.rulebook.schema import Condition, Content

UNSURE = "unsure_"
LOOKED_UP = re.compile(r"'([a-z][a-z0-9_]+)'\s+in\s+unsure\b", re.ASCII)
STRING_OR_NAME = re.compile(r"'[^']*'|[a-z][a-z0-9_]+", re.ASCII)


def expanded(content: Content) -> Content:
    written = _conditions(content)
    return content.model_copy(
        update={
            "conditions": [Condition(id=key, when=source) for key, source in written.items()],
            "rules": [
                rule.model_copy(update={"when": _expand(rule.when, written)})
                for rule in content.rules
            ],
            "aftercare": [
                entry.model_copy(update={"when": entry.when and _expand(entry.when, written)})
                for entry in content.aftercare
            ],
            "intervals": [
                interval.model_copy(update={"when": _expand(interval.when, written)})
                for interval in content.intervals
            ],
        }
    )


def _conditions(content: Content) -> dict[str, str]:
    written: dict[str, str] = {}
    for condition in content.conditions:
        # Only earlier ones are known here, so conditions cannot go round in a circle.
        written[condition.id] = _expand(condition.when, written)
    return written


def _expand(source: str, conditions: Mapping[str, str]) -> str:
    def write_out(match: re.Match[str]) -> str:
        word = match[0]
        return f"({conditions[word]})" if word in conditions else word

    return LOOKED_UP.sub(rf"{UNSURE}\1", STRING_OR_NAME.sub(write_out, source)).strip()
