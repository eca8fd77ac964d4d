"""Random answers, findings and ages for any book, the same for the same seed."""

from random import Random
from typing import Any

from heelwright.rulebook import DONT_KNOW, Book
from heelwright.rulebook.facts import FINDING_KINDS
from heelwright.rulebook.schema import Question
from heelwright.rulebook.touch import TOUCH_SITES, TOUCH_STATES

Drawn = tuple[dict[str, Any], list[dict[str, Any]], int | None]


def draw(book: Book, random: Random) -> Drawn:
    """Some sets are nearly empty and some nearly full, or all would be much alike."""
    filled, yes = random.random(), random.choice([0.02, 0.2, 0.5])
    questions = [q for group in book.content.groups for q in group.questions]
    answers = {q.id: answer(q, random, yes) for q in questions if random.random() < filled}
    findings = [finding(random, place) for place in range(random.choice([0, 0, 0, 1, 2, 4]))]
    return answers, findings, random.choice([None, *(random.randint(0, 110) for _ in range(9))])


def answer(question: Question, random: Random, yes: float) -> Any:
    return DONT_KNOW if random.random() < 0.05 else _known(question, random, yes)


def _known(question: Question, random: Random, yes: float) -> Any:
    match question.kind:
        case "yes_no":
            return random.random() < yes
        case "choice":
            return random.choice(question.choices)
        case "choices":
            return [choice for choice in question.choices if random.random() < yes]
        case "number":
            low, high = question.min or 0, question.max or 1000
            return random.choice([low, high, round(random.uniform(low, high), 1)])
        case "date_known":
            return f"{random.randint(1910, 2026)}-{random.randint(1, 12):02}"
        case "touch_sites":
            return _touched(random, yes)


def _touched(random: Random, yes: float) -> list[str]:
    tested = [
        f"{site}:{random.choice(TOUCH_STATES) if random.random() < yes else 'felt'}"
        for site in TOUCH_SITES
    ]
    return tested if random.random() < 0.8 else random.sample(tested, 3)


def finding(random: Random, place: int) -> dict[str, Any]:
    return {
        "id": f"f{place}",
        "foot": random.choice(["left", "right"]),
        "view": random.choice(["top", "sole"]),
        "region": random.choice(["heel", "toe_1", "toe_3"]),
        "what": random.choice(["crack", random.choice(sorted(FINDING_KINDS))]),
        "depth_mm": random.choice([None, 0, 1, 2, 2.0, 2.5, 4, 4.1]),
        "state": random.choice([None, "open", "closed", "closed"]),
        "looked": random.choice([None, True, False]),
        "bleeding": random.choice([None, True, False, False]),
        "oozing": random.choice([True, False, False, False]),
    }
