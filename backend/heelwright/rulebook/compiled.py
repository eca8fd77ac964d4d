"""A book's expressions, checked against its names and compiled once.

Answers for: every expression inside the subset, every name known, no question that waits for
itself. Judging is in `judge`.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from graphlib import CycleError, TopologicalSorter

from heelwright.rulebook.answers import TOUCH_ANSWERS
from heelwright.rulebook.errors import BookError
from heelwright.rulebook.expansion import UNSURE
from heelwright.rulebook.expressions import Compiler, Expression, ExpressionError, Name
from heelwright.rulebook.schema import (
    OUTCOMES,
    Aftercare,
    Content,
    Interval,
    Limit,
    Question,
    Rule,
    Settings,
)

Origin = Mapping[str, str]


@dataclass(frozen=True)
class Asked:
    """A question in its place, with the expression that says whether it applies."""

    question: Question
    must: bool
    applies: Expression


@dataclass(frozen=True)
class Compiled:
    compiler: Compiler
    settings: Settings
    asked: Mapping[str, Asked]
    sources: Mapping[str, tuple[str, ...]]  # fact -> what it is worked out from
    limits: Mapping[str, Limit]
    strictest_first: tuple[tuple[Rule, Expression], ...]
    aftercare: tuple[tuple[Aftercare, Expression], ...]
    intervals: tuple[tuple[Interval, Expression], ...]


def compile_content(content: Content, origin: Origin) -> Compiled:
    compiler = Compiler(dict(_names(content)))

    def compiled(kind: str, entry: str, source: str | None) -> Expression:
        try:
            return compiler.compile(source or "true")
        except ExpressionError as error:
            file = origin.get(f"{kind}.{entry}", kind)
            shown = f"{source}"[:200]
            raise BookError(
                file, entry, f"{shown}: {error}", "docs/rulebook.md lists what may be used."
            ) from None

    for condition in content.conditions:
        compiled("conditions", condition.id, condition.when)
    book = Compiled(
        compiler=compiler,
        settings=content.settings,
        asked={
            question.id: Asked(
                question,
                group.must,
                compiled("groups", question.id, _joined(group.ask_when, question.ask_when)),
            )
            for group in content.groups
            for question in group.questions
        },
        sources={fact.id: tuple(fact.from_) for fact in content.facts},
        limits={limit.id: limit for limit in content.limits},
        strictest_first=tuple(
            sorted(
                ((rule, compiled("rules", rule.id, rule.when)) for rule in content.rules),
                key=lambda pair: -OUTCOMES.index(pair[0].outcome),
            )
        ),
        aftercare=tuple((a, compiled("aftercare", a.id, a.when)) for a in content.aftercare),
        intervals=tuple((i, compiled("intervals", i.id, i.when)) for i in content.intervals),
    )
    _check_order(book, origin)
    return book


def _joined(group: str | None, question: str | None) -> str | None:
    """A question applies when its group does and it does itself."""
    parts = [part for part in (group, question) if part is not None]
    return f"({parts[0]}) && ({parts[1]})" if len(parts) == 2 else parts[0] if parts else None


def _names(content: Content) -> Iterator[tuple[str, Name]]:
    for group in content.groups:
        for question in group.questions:
            choices = TOUCH_ANSWERS if question.kind == "touch_sites" else question.choices
            yield question.id, Name(question.kind, frozenset(choices))
            yield UNSURE + question.id, Name("yes_no")
    for fact in content.facts:
        yield fact.id, Name(fact.type)


def _check_order(book: Compiled, origin: Origin) -> None:
    waits: dict[str, set[str]] = {key: set(parts) for key, parts in book.sources.items()}
    for key, asked in book.asked.items():
        if any(name.startswith(UNSURE) for name in asked.applies.names):
            raise BookError(
                origin.get(f"groups.{key}", "questions"),
                key,
                "ask_when looks into unsure",
                "Ask by answers and facts only.",
            )
        waits[key] = set(asked.applies.names)
    # `age` is both a fact and what that fact comes from.
    waits.setdefault("age", set()).discard("age")
    try:
        TopologicalSorter(waits).prepare()
    except CycleError as error:
        circle = " waits for ".join(reversed(error.args[1]))
        file = origin.get(f"groups.{error.args[1][0]}", "questions")
        raise BookError(file, error.args[1][0], circle, "Break the circle.") from None
