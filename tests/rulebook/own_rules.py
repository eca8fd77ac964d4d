"""Random rules of a practice's own: any mixture of what an owner may add.

Answers for valid texts only; what they do to a judgement stands in the tests.
"""

from random import Random
from typing import Any

import yaml

from heelwright.rulebook import OUTCOMES
from heelwright.rulebook.schema import REFER_TO, WITHIN
from tests.parity.vectors import book_of

BOOK = book_of("base").content
SOURCED = {"source": "Our own rule", "basis": "common_practice"}
YES_NO = [q.id for group in BOOK.groups for q in group.questions if q.kind == "yes_no"]
FACTS = [fact.id for fact in BOOK.facts if fact.type == "bool"]
CONDITIONS = [condition.id for condition in BOOK.conditions]


def own_text(random: Random) -> str:
    """YAML with one entry or more of each section, and words for all."""
    limits = [limit(random, place) for place in range(random.randint(1, 3))]
    groups = [group(random)]
    names = [*YES_NO, *FACTS, *CONDITIONS, "own_question", "own_condition"]
    own: dict[str, Any] = {
        "conditions": [{"id": "own_condition", "when": when(random, [*YES_NO, *FACTS])}],
        "groups": groups,
        "limits": limits,
        "rules": [rule(random, names, limits, place) for place in range(random.randint(1, 4))],
        "aftercare": [{"id": "own_advice", "when": when(random, names)} | SOURCED],
        "intervals": [
            {"id": "own_weeks", "when": when(random, names), "weeks": random.randint(1, 12)}
            | SOURCED
        ],
        "areas": ["own_area"],
        "stop_signs": [{"id": "own_sign"} | SOURCED],
        "checklist_items": [{"id": "own_item", "occasion": "weekly"} | SOURCED],
        "settings": settings(random),
    }
    return yaml.safe_dump(own | {"words": {"en": words(own)}})


def when(random: Random, names: list[str]) -> str:
    some = [
        random.choice(["", "!", f"'{random.choice(YES_NO)}' in unsure || "]) + random.choice(names)
        for _ in range(random.randint(1, 3))
    ]
    return random.choice([" && ", " || "]).join(f"({part})" for part in some)


def rule(
    random: Random, names: list[str], limits: list[dict[str, Any]], place: int
) -> dict[str, Any]:
    outcome = random.choice(OUTCOMES)
    bound = [one["id"] for one in limits if random.random() < 0.5 or outcome == "go_with_limits"]
    return {
        "id": f"own_rule_{place}",
        "group": "own_rules",
        "when": when(random, names),
        "outcome": outcome,
        "refer_to": random.choice(REFER_TO),
        "within": random.choice(WITHIN),
        "limits": bound,
    } | SOURCED


def limit(random: Random, place: int) -> dict[str, Any]:
    bits = [bit.id for bit in BOOK.bits]
    parts: dict[str, Any] = {
        "bits_allowed": random.sample(bits, random.randint(0, len(bits))),
        "top_speed_m_s": round(random.uniform(0.5, 12), 1),
        "max_rpm": {random.choice(bits): random.randint(1_000, 40_000)},
        "no_bit_in_crack": True,
        "no_blades": True,
        "softener": random.choice(["allowed", "none"]),
        "softener_max_percent": round(random.uniform(1, 50), 1),
        "softener_min_minutes": round(random.uniform(0, 4), 1),
        "softener_max_minutes": round(random.uniform(0.5, 6), 1),
        "leave_alone": random.sample([*BOOK.areas, "own_area"], 2),
    }
    kept = {key: value for key, value in parts.items() if random.random() < 0.4}
    return {"id": f"own_limit_{place}"} | kept | SOURCED


def group(random: Random) -> dict[str, Any]:
    return {
        "id": "own_group",
        "part": random.choice(["health", "foot"]),
        "must": random.random() < 0.5,
        "ask_when": random.choice([None, "diabetes", "age_65_or_over"]),
        "questions": [{"id": "own_question", "kind": "yes_no"}],
    }


def settings(random: Random) -> dict[str, Any]:
    all_of_them = {
        "elderly_age": random.randint(18, 65),
        "screen_valid_hours": random.randint(1, 24),
        "need_stays_hours": random.randint(24, 72),
        "urea_minutes_max": random.choice([2, 2.5, 3]),
        "technician_checks_pulses": True,
        "storage_days_unwrapped": random.randint(1, 7),
        "hand_rub_seconds": random.randint(20, 60),
    }
    return {key: value for key, value in all_of_them.items() if random.random() < 0.4}


def words(own: dict[str, Any]) -> dict[str, str]:
    nouns = {"groups": "group", "conditions": "condition", "rules": "rule", "limits": "limit",
             "aftercare": "aftercare", "stop_signs": "stop_sign",
             "checklist_items": "checklist_item"}  # fmt: skip
    keys = [f"{noun}.{entry['id']}" for section, noun in nouns.items() for entry in own[section]]
    return dict.fromkeys([*keys, "question.own_question", "area.own_area"], "In our own words.")
