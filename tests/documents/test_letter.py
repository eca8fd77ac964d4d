"""What stands on the letter. Source: common practice in referral letters, no source; the shape of
the file by ISO 19005-2 and ISO 14289-1 (published; the file's own claim, set by typst's checks)."""

import io
import re
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pypdf import PdfReader

from heelwright.commandlog import registry
from heelwright.documents.printing import pdf
from heelwright.intake import letter
from heelwright.intake.foot_map import MAP, drawings
from heelwright.rulebook import DONT_KNOW, book_for
from heelwright.rulebook.facts import FINDING_KINDS
from heelwright.rulebook.schema import REFER_TO, WITHIN
from tests.documents.papers import WOUND, asked_for, referred, words_of
from tests.factories import REFERRED
from tests.house.faults import ROOT
from tests.parity.vectors import read, rule_cases
from tests.run_length import runs
from tests.world import World

BOOK = book_for()
PAPER = registry.documents()["referral_letter"]
PLAIN: dict[str, Any] = {
    "written_at": "2026-11-25T09:30:00+00:00",
    "written_on": "25 November 2026, 09:30",
    "practice": "Invented practice",
    "reply_to": "1 Invented Way",
    "invented": True,
    "technician": "Invented Technician",
    "client": "Invented Client",
    "born": "3 February 1946 (80 years)",
    "address": "1 Nowhere Lane",
    "phone": "555 0100",
    "emergency": False,
    "refer_to": "The family doctor",
    "within": "today",
    "reasons": ["An invented reason."],
    "answered_by": "Answered by the person.",
    "told": [["An invented question?", "Yes"]],
    "looked": True,
    "seen": [],
    "findings": [["A", "An invented finding"]],
    "drawings": [],
    "words": letter.WORDS | {"from": "Invented Technician, foot-care technician"},
}


def printed(**changes: Any) -> bytes:
    return pdf(PAPER, PLAIN | changes)


@pytest.mark.django_db
def test_says_who_what_why_how_soon_and_by_whom(world: World) -> None:
    text = words_of(asked_for(world.technician, referred(world)).content)
    assert "Referral letter" in text
    assert "Nobody in this letter is real" in text
    assert re.search(
        r"About: Client Invented \d+ Born: \d{1,2} [A-Z][a-z]+ 1976 \(\d\d years\)", text
    )
    day = r"([A-Z][a-z]+day \d{1,2} [A-Z][a-z]+ 20\d\d)"
    [seen_by] = re.findall(rf"To be seen: within one working day, by {day}", text)
    assert re.findall(rf"Please answer by {day}\.", text) == [seen_by], "one day in both places"
    assert "Seen: an open sore, a wound, or broken skin on a foot" in text
    assert "No work" not in text, "what the rules say to the technician is not for a clinician"
    assert "Is there an open sore, a wound, or broken skin? Yes" in text
    assert "Light touch tried at 6 of the 6 published sites, felt at 6" in text
    assert "Left foot, sole, big toe: wound, 6 mm long, open, oozing, “under the big toe”" in text
    assert "It is not a diagnosis" in text
    assert "technician Invented, foot-care technician, heelside" in text
    assert "I will not start before a clinician says that it may go on." in text
    assert "Left foot, sole A Left foot" in text, "the drawing, and its mark in the list"
    for said in ("Answer, from the clinician", "may go on, with these conditions", "or not yet"):
        assert said in text


@pytest.mark.parametrize("length", [1, *range(12, 30)])
def test_the_page_with_the_answer_has_the_question_and_says_whom_it_is_about(length: int) -> None:
    told = [[f"Invented question {n}?", "Yes"] for n in range(length)]
    reader = PdfReader(io.BytesIO(printed(told=told)))
    last = reader.pages[-1].extract_text()
    for said in ("What I ask", "Please answer to:", "Answer, from the clinician", "signature"):
        assert said in last
    assert "Invented Client" in last
    assert reader.pages[0].extract_text().count("Invented Client") == 1


@pytest.mark.django_db
def test_a_letter_made_by_the_questions_says_that_no_foot_was_looked_at(world: World) -> None:
    screen = world.technician.screen(world.client, REFERRED)
    text = words_of(asked_for(world.technician, screen).content)
    assert "Have you hurt a foot in the last four weeks? Yes" in text
    assert "I did not look at the feet" in text


@pytest.mark.django_db
def test_an_emergency_is_told_first_and_in_words(world: World) -> None:
    screen = world.technician.screen(world.client, REFERRED | {"chest_or_breath": True})
    text = words_of(asked_for(world.technician, screen).content)
    assert "To be seen: now. This is an emergency. To: Emergency services" in text
    assert "Get medical help now. Stay with the client" in text
    assert "Please answer as soon as this person has been seen." in text


@pytest.mark.django_db
def test_the_same_record_gives_the_same_bytes(world: World) -> None:
    referral = referred(world)
    first, again = (asked_for(world.owner, referral).content for _ in range(2))
    assert first == again
    assert first != asked_for(world.owner, referred(world, length_mm=7)).content


@pytest.mark.parametrize(
    "name",
    [
        "Zażółć Gęślą-Jaźń",
        "Nguyễn Thị Bích Lụa",
        "Đỗ Ngọc Thạch",
        "Béatrice Åse Þóra Weißmoor Inês",
        "Ελένη Παπαδάκη",
        "Олена Ковальчук",
    ],
)
def test_names_are_written_as_they_are(name: str) -> None:
    made = printed(client=name)
    assert name in words_of(made)
    assert b"pdfaid:part" in made


@pytest.mark.parametrize("name", ["王小明", "Ann 🦶 Invented", "กานดา", "bell\u0007"])
def test_a_character_that_no_font_here_has_does_not_stop_the_letter(name: str) -> None:
    text = words_of(printed(client=name))
    assert "Born: 3 February 1946" in text
    assert "An invented reason." in text


MARKUP = [
    '#import "@preview/x:1.0.0": *',
    '#read("referral_letter.typ")',
    "#panic()",
    "*bold* _slanted_ `raw`",
    "$x^2 + 1$",
    "= Heading",
    "// comment /* and */ more",
    "https://nowhere.invalid <label> @label",
    "]] #v(5cm) [[",
    "a -- b --- c ... ~ \\ \\u{41}",
    "\"quotes\" and 'these'",
]


@pytest.mark.parametrize("typed", MARKUP)
def test_what_was_typed_is_never_markup(typed: str) -> None:
    text = words_of(printed(client=typed, findings=[["A", typed]], address=typed))
    assert text.count(typed) >= 3


@given(st.text(alphabet="#*_$`=-/\\<>@[]{}()\"'~.:;,+ ab1", min_size=1, max_size=24))
@settings(max_examples=runs(short=30, long=2000))
def test_nothing_typed_with_signs_is_lost_or_obeyed(typed: str) -> None:
    text = words_of(printed(address=f"start{typed}end"))
    assert "".join(f"start{typed}end".split()) in "".join(text.split())


def test_the_file_claims_both_standards_and_can_be_read_aloud() -> None:
    reader = PdfReader(io.BytesIO(printed()))
    root: Any = reader.trailer["/Root"]
    about = root["/Metadata"].get_data().decode()
    assert re.search(r"pdfaid:part>2<", about)
    assert re.search(r"pdfaid:conformance>A<", about)
    assert re.search(r"pdfuaid:part>1<", about)
    assert root["/Lang"] == "en"
    assert root["/MarkInfo"]["/Marked"]
    assert "/StructTreeRoot" in root
    assert root["/ViewerPreferences"]["/DisplayDocTitle"]
    assert reader.metadata is not None
    assert reader.metadata.title == "Referral letter"
    assert reader.metadata.creation_date is not None
    assert reader.metadata.creation_date.isoformat() == PLAIN["written_at"]


def test_a_long_letter_goes_on_to_more_pages_and_loses_nothing() -> None:
    many = [f"Finding number {n} of an invented client" for n in range(200)]
    text = words_of(printed(findings=[["A", line] for line in many]))
    assert all(line in text for line in many)
    assert "Answer, from the clinician" in text


def test_every_word_of_the_rulebook_and_of_the_foot_map_has_its_words() -> None:
    assert set(letter.REFER_TO) == set(REFER_TO)
    assert set(letter.WITHIN) == set(WITHIN)
    assert set(letter.WHAT) == FINDING_KINDS
    drawn = (ROOT / "pwa" / "src" / "parts" / "foot" / "regions.ts").read_text()
    assert set(letter.REGION) == set(re.findall(r"\bid: ['\"](\w+)['\"]", drawn))


def fired(*rules: str) -> list[dict[str, Any]]:
    return [
        {"id": rule.id, "outcome": rule.outcome} for rule in BOOK.content.rules if rule.id in rules
    ]


OWN = """
rules:
  - {id: own_plain, group: own, when: rest_pain, outcome: needs_clearance, source: us, basis: common_practice}
  - {id: own_said, group: own, when: rest_pain, outcome: refer_first, refer_to: gp, within: days, source: us, basis: common_practice}
words: {en: {rule.own_plain: Ask first., rule.own_said: Ask first., reason.own_said: Pain at rest was reported.}}
"""  # noqa: E501


def test_a_rule_of_a_practice_is_told_by_the_words_that_it_has() -> None:
    rules = [{"id": one, "outcome": "refer_first"} for one in ("own_plain", "own_said", "gone")]
    said = letter.reasons(book_for(None, OWN), rules)
    assert said == ["Ask first.", "Pain at rest was reported.", "gone"]


@pytest.mark.parametrize("place", [None, "uk", "us"])
def test_no_reason_gives_a_clinician_an_order(place: str | None) -> None:
    """What was reported or seen, said as such. Our own rule, no source."""
    words = book_for(place).content.words["en"]
    reasons = {key: text for key, text in words.items() if key.startswith("reason.")}
    assert len(reasons) >= 60
    for key, text in reasons.items():
        assert re.match(r"(Reported|Seen|Found|Not seen|Not ruled out|No foot was seen)\b", text), (
            key
        )
        assert not re.search(r"\b(Stop|No work|Do not|Call|Written word|nobody knows)\b", text), key


def test_tells_what_was_not_known_and_leaves_out_a_plain_no() -> None:
    answers = {"numb_feet": DONT_KNOW, "catching_illness": DONT_KNOW, "gout_now": False}
    lines = letter.told(BOOK, "health", answers, fired("catching", "gout_attack"))
    assert lines == [[BOOK.content.words["en"]["question.catching_illness"], "Not known"]]


def test_tells_a_choice_only_where_a_rule_speaks_of_it() -> None:
    clear, held = {"left_foot_seen": "seen"}, {"left_foot_seen": "no_foot"}
    rules = fired("amputated")
    assert letter.told(BOOK, "foot", clear, rules) == []
    assert [answer for _, answer in letter.told(BOOK, "foot", held, rules)] == [
        BOOK.content.words["en"]["choice.left_foot_seen.no_foot"]
    ]


def test_tells_how_far_a_light_touch_was_tried() -> None:
    answers = {"touch_test": ["left_1:felt", "left_3:not_felt", "left_5:no_toe", "right_1:felt"]}
    [[_, told]] = letter.told(BOOK, "foot", answers, [])
    assert told == (
        "Light touch tried at 3 of the 6 published sites, felt at 2; not felt at: left middle toe"
    )


LETTERS = read("letter.json")
CASES = {f"{place} {case.name}": case for place, case in enumerate(rule_cases())}


@pytest.mark.parametrize("key", LETTERS)
def test_tells_of_the_answers_what_the_phone_tells(key: str) -> None:
    case = CASES[key]
    found = BOOK.judge(case.answers, case.findings, case.age).as_json()["fired"]
    told = [letter.telling(BOOK, part, case.answers, found) for part in ("health", "foot")]
    sides = [[q.id, letter.side_of(BOOK, q, case.answers)] for part in told for q in part]
    assert sides == LETTERS[key]["told"]
    assert letter.reasons(BOOK, found) == LETTERS[key]["reasons"]


def test_tells_what_a_condition_of_a_rule_speaks_of_and_a_number_with_its_unit() -> None:
    rules = fired("diabetes_sugar_high")
    [[_, told]] = letter.told(BOOK, "health", {"hba1c_percent": 9.0}, rules)
    assert told == "9 %"


@pytest.mark.parametrize(
    ("answers", "told"),
    [
        ({"calf_sore": True, "calf_sore_side": "left"}, "Yes (left side)"),
        ({"calf_sore": True, "calf_sore_side": "both"}, "Yes (both sides)"),
        ({"calf_sore": True, "calf_sore_side": DONT_KNOW}, "Yes (side not known)"),
        ({"calf_sore": True}, "Yes (side not asked)"),
        ({"calf_sore": DONT_KNOW}, "Not known"),
        ({"leg_swelling": "one_leg"}, "Only one leg or foot (side not asked)"),
        ({"ulcer_healed": False, "ulcer_side": "right"}, "No (right side)"),
        ({"ulcer_healed": True}, "Yes"),
    ],
)
def test_tells_which_side_or_that_nobody_asked(answers: dict[str, Any], told: str) -> None:
    rules = fired("calf_clot_signs", "one_sided_swelling", "ulcer_not_healed")
    assert [line for _, line in letter.told(BOOK, "health", answers, rules)] == [told]


def test_a_no_is_told_where_it_is_the_risk() -> None:
    lines = letter.told(BOOK, "health", {"understands_today": False}, fired("nobody_may_sign"))
    assert [answer for _, answer in lines] == ["No"]


def test_a_finding_without_measures_is_one_short_line() -> None:
    bare = {**WOUND, "length_mm": None, "state": None, "oozing": None, "note": ""}
    assert letter.findings([bare]) == [["A", "Left foot, sole, big toe: wound"]]


def test_what_nobody_looked_for_again_says_since_when() -> None:
    """As long as checks only carried it on, the day is that of the look before them."""
    bare = {**WOUND, "length_mm": None, "state": None, "oozing": None, "note": ""}
    carried = [bare | {"id": str(n), "follows": str(n - 1), "looked": False} for n in (1, 2)]
    looks = [("4 May 2026", [bare | {"id": "0"}]), ("9 June 2026", carried[:1])]
    told = "Left foot, sole, big toe: wound, not looked at again: as it was "
    assert letter.findings([carried[1]], looks) == [["A", told + "on 4 May 2026"]]
    assert letter.findings([carried[1]]) == [["A", told + "the time before"]]
    round_about = [("4 May 2026", [carried[0] | {"follows": "2"}, carried[1]])]
    assert letter.findings([carried[1]], round_about) == [["A", told + "the time before"]]


def test_the_foot_map_marks_each_finding_where_it_is() -> None:
    """A mark on the left sole lies where that of the right sole lies, mirrored."""
    sides = [{**WOUND, "foot": foot, "region": "toe_1"} for foot in ("right", "left")]
    right, left = drawings(sides)
    assert (right["name"], left["name"]) == ("Right foot, sole", "Left foot, sole")
    places = [re.findall(r'cx="([0-9.]+)" cy="([0-9.]+)"', side["svg"]) for side in (right, left)]
    [[(x, y)], [(mirrored, same)]] = places
    assert (float(x) + float(mirrored), y) == (MAP["box"]["width"], same)
    assert ">A<" in right["svg"]
    assert ">B<" in left["svg"]


def test_two_findings_at_one_place_have_marks_beside_each_other() -> None:
    [side] = drawings([WOUND, {**WOUND, "id": "w2"}])
    assert len(set(re.findall(r'cx="([0-9.]+)"', side["svg"]))) == 2
