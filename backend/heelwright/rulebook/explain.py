"""A judgement in words: what fired and why, what is open, what binds, what to ask.

Answers for the words only. A line for each rule, with its source, for whoever reads the book.
"""

from collections.abc import Iterable, Iterator

from heelwright.rulebook.book import Book
from heelwright.rulebook.judge import Judgement
from heelwright.rulebook.limits import MergedLimits
from heelwright.rulebook.schema import Outcome, Rule
from heelwright.rulebook.sources import BASES

CAUTION = "This prompts and does not diagnose. Local law, the licence and the clinician come first."


def explained(book: Book, judgement: Judgement) -> str:
    content = book.content
    rules = {rule.id: rule for rule in content.rules}
    fired = (_rule(book, rules[one.id]) for one in judgement.fired)
    still_open = (_rule(book, rules[one.id]) + _waits(book, one.missing) for one in judgement.open)
    advice, weeks = judgement.aftercare, judgement.weeks_until_next
    return "\n".join(
        [
            f"{content.title}, edition {content.edition}, version {book.version}",
            *_outcome(judgement),
            *_section("Rules that apply", fired),
            *_section("Rules that are open, since an answer is missing", still_open),
            *_section("Limits in words", _limit_words(book, judgement)),
            *_section("Limits, the strictest of each", _limits(book, judgement.limits)),
            *_section("Ask", (f"{_asked(book, key)} ({key})" for key in judgement.to_ask)),
            *_section("To take home", (_words(book, f"aftercare.{key}") for key in advice)),
            f"\nNext visit: {f'in {weeks} weeks' if weeks else 'not known yet'}",
            CAUTION,
        ]
    )


def _outcome(judgement: Judgement) -> Iterator[str]:
    held = ", held until what is open is answered" if judgement.held else ""
    yield f"\nOutcome: {_plain(judgement.outcome)}{held}"
    if judgement.referral is not None:
        to, within = judgement.referral.refer_to, judgement.referral.within
        yield f"Referral: to {_plain(to)}, within: {_plain(within)}"


def _plain(name: Outcome | str) -> str:
    return name.replace("_", " ")


def _section(title: str, lines: Iterable[str]) -> Iterator[str]:
    held = list(lines)
    if held:
        yield f"\n{title}:"
        yield from (f"- {line}" for line in held)


def _rule(book: Book, rule: Rule) -> str:
    words = _words(book, f"rule.{rule.id}")
    return (
        f"{_plain(rule.outcome)}: {words}\n  {rule.id}, source: {rule.source} ({BASES[rule.basis]})"
    )


def _waits(book: Book, missing: Iterable[str]) -> str:
    return "".join(f"\n  waits for: {_asked(book, name)} ({name})" for name in missing)


def _asked(book: Book, name: str) -> str:
    words = book.content.words["en"]
    known = {"age": "The client's age", "findings": "What was found on the feet"}
    return words.get(f"question.{name}") or known.get(name) or words.get(f"fact.{name}", name)


def _words(book: Book, key: str) -> str:
    return book.content.words["en"][key]


def _limit_words(book: Book, judgement: Judgement) -> Iterator[str]:
    """Of open rules too: a question left out must not widen what is allowed."""
    bound = {one.id for one in judgement.fired} | {one.id for one in judgement.open}
    named = {key for rule in book.content.rules if rule.id in bound for key in rule.limits}
    for limit in book.content.limits:
        if limit.id in named:
            yield f"{_words(book, f'limit.{limit.id}')} ({limit.id})"


def _limits(book: Book, limits: MergedLimits) -> Iterator[str]:
    bits = limits.bits_allowed
    if bits is not None:
        yield "Bits: " + (", ".join(_words(book, f"bit.{bit}") for bit in bits) or "none")
    for bit, rpm in limits.max_rpm.items():
        if bits is None or bit in bits:
            yield f"{_words(book, f'bit.{bit}')}: {rpm} turns a minute at most"
    if limits.top_speed_m_s is not None:
        yield f"Speed at the rim: {limits.top_speed_m_s:g} m/s at most (v = pi d n)"
    if limits.no_blades:
        yield "No blades"
    if limits.no_bit_in_crack:
        yield "No bit in a crack"
    yield _softener(limits)
    for area in limits.leave_alone:
        yield f"Leave alone: {_words(book, f'area.{area}')}"


def _softener(limits: MergedLimits) -> str:
    if limits.softener == "none":
        return "Softener: none"
    most, least, longest = (
        limits.softener_max_percent,
        limits.softener_min_minutes,
        limits.softener_max_minutes,
    )
    parts = [
        f"{most:g} % urea at most" if most is not None else "",
        f"{least:g} minutes at least" if least is not None else "",
        f"{longest:g} minutes at most" if longest is not None else "",
    ]
    return "Softener: " + (", ".join(filter(None, parts)) or "as its label says")
