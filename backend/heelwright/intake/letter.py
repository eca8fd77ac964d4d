"""What a referral letter says, as plain text. Knows no database; who may have it: `documents.py`.

The sentences are those of the letter that the phone prints with no signal.
"""

import json
import re
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any

from heelwright.intake.foot_map import letter_of
from heelwright.rulebook import DONT_KNOW, Book
from heelwright.rulebook.schema import CLINICIANS_WORD, Question
from heelwright.rulebook.touch import TOUCH_SITES

# The sentences of the letter that the phone prints with no signal; its tests write them here.
WORDS: dict[str, str] = json.loads((Path(__file__).parent / "letter_words.json").read_text())

WITHIN = {
    "now": "now. This is an emergency.",
    "same_day": "today",
    "one_working_day": "within one working day",
    "days": "within days",
    "weeks": "within weeks",
}
REFER_TO = {
    "emergency_services": "Emergency services",
    "foot_team": "The foot protection or hospital foot team",
    "gp": "The family doctor",
    "specialist_nurse": "A specialist nurse",
    "pharmacist": "A pharmacist",
}
ANSWERED_BY = {"client": "the client", "family": "family", "care_staff": "care staff"}
WHAT = {
    "crack": "crack",
    "callus": "hard skin",
    "corn": "corn",
    "dryness": "dry skin",
    "maceration": "soft, wet skin",
    "nail_thick": "thick nail",
    "nail_fungus_signs": "nail that looks like fungus",
    "nail_ingrown": "nail growing in",
    "ulcer": "ulcer",
    "wound": "wound",
    "blister": "blister",
    "colour": "odd colour",
    "black_tissue": "black tissue",
    "swelling": "swelling",
    "warmth": "warm spot",
    "redness": "redness",
    "discharge": "pus or fluid",
    "rash": "rash",
    "lump": "lump",
    "toe_gone": "toe not there",
}
REGION = {
    "toe_1": "big toe",
    "toe_2": "second toe",
    "toe_3": "middle toe",
    "toe_4": "fourth toe",
    "toe_5": "little toe",
    "between_1_2": "between big and second toe",
    "between_2_3": "between second and middle toe",
    "between_3_4": "between middle and fourth toe",
    "between_4_5": "between fourth and little toe",
    "ball_inner": "ball, inner side",
    "ball_middle": "ball, middle",
    "ball_outer": "ball, outer side",
    "arch": "arch",
    "outer_side": "outer side of the foot",
    "heel_inner": "heel, inner edge",
    "heel_centre": "heel, centre",
    "heel_outer": "heel, outer edge",
    "heel_back": "back of the heel",
    "top_front": "top, behind the toes",
    "instep": "instep",
    "ankle_inner": "ankle, inner side",
    "ankle_front": "ankle, front",
    "ankle_outer": "ankle, outer side",
}


def reasons(book: Book, fired: Iterable[Mapping[str, Any]]) -> list[str]:
    """For each rule that stops the work or needs a clinician's word, what was reported or seen.
    A practice's own rule may have no such words and is told by those that it has."""
    words = book.content.words["en"]
    ids = [rule["id"] for rule in fired if rule["outcome"] in CLINICIANS_WORD]
    return [words.get(f"reason.{one}") or words.get(f"rule.{one}", one) for one in ids]


def told(
    book: Book, part: str, answers: Mapping[str, Any], fired: Iterable[Mapping[str, Any]]
) -> list[list[str]]:
    """[question, answer] for what a clinician should know: the answers of one part, health or foot,
    that the fired rules speak of and that are not a plain "no"."""
    words = book.content.words["en"]
    return [
        [words[f"question.{question.id}"], _with_side(book, question, answers)]
        for question in telling(book, part, answers, fired)
    ]


def telling(
    book: Book, part: str, answers: Mapping[str, Any], fired: Iterable[Mapping[str, Any]]
) -> Iterator[Question]:
    """The questions whose answers are told. `pwa/src/routes/referral/told.ts` chooses alike."""
    spoken = _spoken(book, {rule["id"] for rule in fired if rule["outcome"] != "go"})
    for group in book.content.groups:
        for question in group.questions if group.part == part else ():
            answer = answers.get(question.id)
            if answer is not None and _tells(question, answer, spoken):
                yield question


def _spoken(book: Book, rules: Collection[str]) -> str:
    """What these rules speak of: their terms, and those of the conditions and facts they name."""
    spoken = " ".join(rule.when for rule in book.content.rules if rule.id in rules)
    terms = {one.id: one.when for one in book.content.conditions}
    terms |= {one.id: " ".join(one.from_) for one in book.content.facts}
    while named := [key for key in terms if re.search(rf"\b{key}\b", spoken)]:
        spoken = " ".join([spoken, *(terms.pop(key) for key in named)])
    return spoken


def _tells(question: Question, answer: Any, spoken: str) -> bool:
    """Whether the rules speak of this question, and of the very choice that was made."""
    if question.kind == "touch_sites":
        return True
    if answer is False:
        return re.search(rf"!\s*{question.id}\b", spoken) is not None
    if re.search(rf"\b(unsure_)?{question.id}\b", spoken) is None:
        return False
    chosen = answer if isinstance(answer, list) else [answer]
    return not question.choices or answer == DONT_KNOW or any(f"'{c}'" in spoken for c in chosen)


def side_of(book: Book, question: Question, answers: Mapping[str, Any]) -> str | None:
    """Which side a told answer is about, or "not_asked"; None where it is not about one."""
    answer = answers[question.id]
    sides = (one for group in book.content.groups for one in group.questions)
    side = next((one for one in sides if one.side_of == question.id), None)
    if side is None or answer == DONT_KNOW:
        return None
    asked_when = side.ask_when or ""
    if isinstance(answer, bool):
        applies = answer == (re.search(rf"!\s*{question.id}\b", asked_when) is None)
    else:
        applies = f"'{answer}'" in asked_when
    return str(answers.get(side.id, "not_asked")) if applies else None


def _with_side(book: Book, question: Question, answers: Mapping[str, Any]) -> str:
    answer, side = _answer(book, question, answers[question.id]), side_of(book, question, answers)
    if side is None:
        return answer
    return WORDS["with_side"].format(answer=answer, side=WORDS[f"side.{side}"])


def _answer(book: Book, question: Question, answer: Any) -> str:
    if answer == DONT_KNOW:
        return WORDS["not_known"]
    if isinstance(answer, bool):
        return "Yes" if answer else "No"
    if isinstance(answer, int | float):
        unit = WORDS[f"unit.{question.unit}"] if question.unit else ""
        return f"{answer:g} {unit}".rstrip()
    if question.kind == "touch_sites":
        return _touch(answer)
    words = book.content.words["en"]
    chosen = answer if isinstance(answer, list) else [answer]
    return ", ".join(words.get(f"choice.{question.id}.{one}", str(one)) for one in chosen)


def _touch(entries: Collection[str]) -> str:
    felt = sum(f"{site}:felt" in entries for site in TOUCH_SITES)
    not_felt = [site for site in TOUCH_SITES if f"{site}:not_felt" in entries]
    tried = felt + len(not_felt)
    touch = WORDS["touch"].format(felt=felt, tried=tried, all=len(TOUCH_SITES))
    if not not_felt:
        return touch
    sites = ", ".join(_site(*site.split("_")) for site in not_felt)
    return WORDS["touch_not_felt"].format(touch=touch, sites=sites)


def _site(foot: str, toe: str) -> str:
    return WORDS[f"site.{foot}"].format(toe=REGION[f"toe_{toe}"])


Finding = Mapping[str, Any]
Look = tuple[str, Sequence[Finding]]


def findings(seen: Sequence[Finding], looks: Iterable[Look] = ()) -> list[list[str]]:
    """[letter, line] for each mark on the foot map: where, what, how large, and its note; and of
    what nobody looked for again, since when by `looks`: the client's checks, with their days."""
    told = {finding["id"]: (day, finding) for day, found in looks for finding in found}
    return [[letter_of(n), ", ".join(_finding(one, told))] for n, one in enumerate(seen)]


def _last_looked(finding: Finding, told: Mapping[str, tuple[str, Finding]]) -> str | None:
    """When somebody last looked at what checks only carried on; None where none of them tells."""
    day: str | None = None
    followed = set[str]()
    while not finding.get("looked", True):
        before = finding["follows"]
        if before not in told or before in followed:
            return None
        followed.add(before)
        day, finding = told[before]
    return day


def _finding(finding: Finding, told: Mapping[str, tuple[str, Finding]]) -> Iterator[str]:
    region = REGION.get(finding["region"], finding["region"].replace("_", " "))
    what = WHAT.get(finding["what"], finding["what"].replace("_", " "))
    yield f"{finding['foot'].capitalize()} foot, {finding['view']}, {region}: {what}"
    if finding["length_mm"] is not None:
        yield f"{finding['length_mm']:g} mm long"
    if finding["depth_mm"] is not None:
        yield f"about {finding['depth_mm']:g} mm deep, by eye"
    if finding["state"]:
        yield finding["state"]
    yield from (word for word in ("bleeding", "oozing") if finding[word])
    if finding["note"]:
        yield f"“{finding['note']}”"
    if not finding.get("looked", True):
        day = _last_looked(finding, told)
        yield WORDS["carried_from"].format(day=day) if day else WORDS["carried"]
