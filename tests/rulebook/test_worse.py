"""What is worse never comes to a milder outcome; what is answered does not stay open.

"Worse" is said here by hand for each answer and each mark on the map; our own reading, no source.
"""

from collections.abc import Iterator, Mapping
from random import Random
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from heelwright.rulebook import DONT_KNOW, book_for, overlays
from heelwright.rulebook.facts import FINDING_KINDS
from heelwright.rulebook.schema import Question
from tests.parity.random_answers import Drawn, answer, draw
from tests.rulebook.clients import BOOK, QUESTIONS, definite, randoms
from tests.rulebook.test_properties import weight
from tests.run_length import runs

# Of these "no" is the bad answer.
NO_IS_WORSE = {"can_say_stop", "understands_today", "signer_ready", "reach_feet", "sees_feet",
               "numb_known", "ulcer_healed"}  # fmt: skip
# From good to bad. Left out are choices that are neither better nor worse than another: swelling
# of a known cause explains what is seen on both feet, so it is not worse than none told.
FROM_GOOD_TO_BAD = {
    "recent_surgery": [["none", "elsewhere", "foot_or_leg"]],
    "leg_swelling": [["none", "both_legs"], ["none", "one_leg"], ["none", "lymphoedema"],
                     ["mild_known", "both_legs", "one_leg"]],
    "diabetes_type": [["type_1", "type_2"], ["type_1", "other"]],
    "last_foot_exam": [["this_year", "longer_ago", "never"]],
    "last_foot_exam_by": [["foot_clinic", "someone_else", "nobody"],
                          ["doctor_or_nurse", "someone_else", "nobody"]],
    "foot_exam_flow": [["good", "not_checked", "poor"]],
    "footwear": [["closed_and_fitting", "tight_or_worn"],
                 ["closed_and_fitting", "open_or_barefoot"]],
    "who_decides": [["myself", "with_help", "someone_else"]],
    "swelling_seen": [["none", "both_feet"], ["none", "one_foot"]],
    "left_foot_seen": [["seen", "no_foot"], ["seen", "no_leg"]],
    "right_foot_seen": [["seen", "no_foot"], ["seen", "no_leg"]],
    "pulse_left": [["felt", "not_felt"]],
    "pulse_right": [["felt", "not_felt"]],
}  # fmt: skip
# A unit is neither good nor bad; what was not looked at is not known.
NEITHER = {"hba1c_in"}
NOT_KNOWN = {"not_seen", "not_shown", "not_tried"}


def worse_answers(question: Question, now: Any) -> Iterator[Any]:
    """What is worse than `now`; not knowing is worse than the best answer."""
    match question.kind:
        case "yes_no":
            bad = question.id not in NO_IS_WORSE
            yield from (bad, DONT_KNOW) if now is not bad and now != DONT_KNOW else ()
        case "choice":
            for scale in FROM_GOOD_TO_BAD.get(question.id, []):
                if now in scale:
                    yield from scale[scale.index(now) + 1 :]
        case "number":
            if not isinstance(now, str):
                yield from (now + more for more in (1, 4, 30) if now + more <= (question.max or 0))
        case "touch_sites":
            if isinstance(now, list):
                yield from (_not_felt(now, site) for site in now if site.endswith(":felt"))


def _not_felt(touched: list[str], site: str) -> list[str]:
    return [one.replace(":felt", ":not_felt") if one == site else one for one in touched]


def worse_marks(findings: list[dict[str, Any]]) -> Iterator[list[dict[str, Any]]]:
    plain = {"foot": "left", "view": "sole", "region": "heel", "depth_mm": 1, "state": "closed",
             "bleeding": False, "oozing": False}  # fmt: skip
    for kind in sorted(FINDING_KINDS):
        yield [*findings, plain | {"id": "one_more", "what": kind}]
    for place, mark in enumerate(findings):
        for worse in _worse_mark(mark):
            yield [*findings[:place], mark | worse, *findings[place + 1 :]]


def _worse_mark(mark: Mapping[str, Any]) -> Iterator[dict[str, Any]]:
    if mark["depth_mm"] is not None:
        yield {"depth_mm": mark["depth_mm"] + 2}
    if mark["state"] == "closed":
        yield {"state": "open"}
    yield from ({sign: True} for sign in ("bleeding", "oozing") if mark[sign] is False)


def test_each_question_has_its_bad_end() -> None:
    for question in QUESTIONS.values():
        # No rule looks at a side: test_sides.py.
        sided = question.side_of is not None
        if question.kind == "choice" and question.id not in NEITHER and not sided:
            named = {one for scale in FROM_GOOD_TO_BAD[question.id] for one in scale}
            assert named | NOT_KNOWN >= set(question.choices), question.id


def worse_clients(client: Drawn) -> Iterator[Drawn]:
    answers, findings, age = client
    for key, now in answers.items():
        for worse in worse_answers(QUESTIONS[key], now):
            yield answers | {key: worse}, findings, age
    for marks in worse_marks(findings):
        yield answers, marks, age


@settings(max_examples=runs(short=100, long=3_000))
@given(randoms, st.sampled_from([None, *overlays()]))
def test_worse_is_never_milder(random: Random, place: str | None) -> None:
    book = book_for(place)
    client = draw(BOOK, random)
    before = weight(book.judge(*client).outcome)
    everything = list(worse_clients(client))
    for worse in random.sample(everything, min(30, len(everything))):
        assert weight(book.judge(*worse).outcome) >= before, _difference(client, worse)


def _difference(one: Drawn, other: Drawn) -> str:
    answers = {key: (now, other[0][key]) for key, now in one[0].items() if now != other[0][key]}
    return f"{answers or (one[1], other[1])}"


def whole_answer(question: Question, random: Random) -> Any:
    """A touch test with sites left out is a question that is still to be put."""
    whole = question.kind == "touch_sites"
    return definite(question, random) if whole else answer(question, random, 0.3)


def feet_to_be_seen(answers: Mapping[str, Any]) -> bool:
    """Then the touch test is open as well, whatever was felt: a toe may not be there."""
    return any(answers.get(f"{foot}_foot_seen") not in ("seen", "no_foot", "no_leg")
               for foot in ("left", "right"))  # fmt: skip


@settings(max_examples=runs(short=150, long=3_000))
@given(randoms)
def test_what_is_answered_is_not_open_any_more(random: Random) -> None:
    answers, findings, age = draw(BOOK, random)
    for key in BOOK.judge(answers, findings, age).to_ask:
        if key in QUESTIONS and not (key == "touch_test" and feet_to_be_seen(answers)):
            given_now = answers | {key: whole_answer(QUESTIONS[key], random)}
            after = BOOK.judge(given_now, findings, age)
            assert key not in after.to_ask, key
            if given_now[key] != DONT_KNOW:
                assert not [rule.id for rule in after.open if key in rule.missing], key
