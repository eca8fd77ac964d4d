"""A book with a fault is refused, and the error names the file, the entry and the remedy."""

import shutil
from pathlib import Path

import pytest

from heelwright.rulebook import BookError, book_for, load_book, overlays
from heelwright.rulebook.consent_texts import words_of
from tests.parity.vectors import BOOKS

RULES, QUESTIONS = "base/rules/all.yaml", "base/questions/all.yaml"
SOURCED = "source: invented, basis: common_practice"
SIDE = """      - id: where
        kind: choice
        choices: [left, right, both]
        side_of: fever
        ask_when: fever
"""


@pytest.fixture
def books(tmp_path: Path) -> Path:
    return Path(shutil.copytree(BOOKS, tmp_path / "books"))


@pytest.mark.parametrize(
    ("file", "old", "new", "entry", "says"),
    [
        (RULES, "when: fever,", "when: feever,", "fever_now", "feever is neither"),
        (RULES, "when: fever,", "when: fever && unsure,", "fever_now", "unsure is a list"),
        (RULES, "'diabetes' in unsure", "'age' in unsure", "diabetes_unsure", "unsure_age"),
        (RULES, "outcome: emergency", "outcome: alarm", "fever_now", "outcome"),
        (RULES, ", within: now", "", "fever_now", "needs refer_to and within"),
        (RULES, "limits: [slow]", "limits: []", "heavy", "at least one limit"),
        (RULES, "limits: [slow]", "limits: [slower]", "heavy", "the limit slower"),
        (RULES, "group: flags, when: fever", "group: flags, hen: 1, when: fever", "fever_now",
         "hen"),
        (RULES, "id: fever_now", "id: warfarin", "warfarin", "twice"),
        (RULES, "basis: common_practice}", "basis: hearsay}", "fever_now", "basis"),
        (QUESTIONS, "kind: yes_no}", "kind: yes_no, min: 3}", "health", "diabetes"),
        (QUESTIONS, "[warfarin, steroids]", "[warfarin, no]", "health", "medicines.choices"),
        (QUESTIONS, "[warfarin, steroids]", "[warfarin, dont_know]", "health", "dont_know"),
        (QUESTIONS, "ask_when: diabetes", "ask_when: on_dialysis", "on_dialysis", "waits"),
        (QUESTIONS, "ask_when: diabetes", "ask_when: \"'diabetes' in unsure\"", "on_dialysis",
         "unsure is a list"),
        (QUESTIONS, "choices: [type_1, type_2]}", "choices: [type_1, type_2], side_of: fever}",
         "diabetes_care", "left, right, both"),
        (QUESTIONS, "      - {id: touch_test", SIDE + "      - {id: touch_test", "where", "fever"),
        (QUESTIONS, "      - {id: on_dialysis", SIDE + "      - {id: on_dialysis", "where",
         "in a must group"),
        (QUESTIONS, "id: fever,", "id: age,", "age", "twice"),
        (QUESTIONS, "id: fever,", "id: unsure_fever,", "unsure_fever", "reserved"),
        (QUESTIONS, "id: fever,", "id: return,", "return", "reserved"),
        ("base/facts.yaml", "type: int, from: [age]", "type: number, from: [age]", "age",
         "facts.py"),
        ("base/facts.yaml", "id: any_crack", "id: any_dragon", "any_dragon", "no such fact"),
        ("base/limits.yaml", "leave_alone: [crack_depth]", "leave_alone: [ear]", "shallow",
         "the area ear"),
        ("base/limits.yaml", "{diamond: 15000}", "{laser: 15000}", "shallow", "the bit laser"),
        ("base/book.yaml", "edition: \"1\"", "edition: 1", "edition", "string"),
        ("base/book.yaml", "edition:", "title: twice\nedition:", "file", "two keys"),
        ("base/conditions.yaml", "diabetes ||", "diabetess ||", "diabetic", "diabetess"),
        ("words/en.yaml", "rule.fever_now:", "rule.fewer_now:", "rule.fever_now", "no words"),
        ("words/en.yaml", "rule.fever_now:", "rule.fever_now: hot\nrule.ghost:", "rule.ghost",
         "nothing in the book"),
        ("base/consent_texts.yaml", "current: false", "current: true", "treatment", "two current"),
        ("base/consent_texts.yaml", "current: true", "current: false", "treatment", "no current"),
        ("base/consent_texts.yaml", "treatment, version: 1", "photos, version: 1", "plain",
         "two purposes"),
        ("base/consent_texts.yaml", "purpose: treatment", "purpose: selling", "plain", "purpose"),
        ("words/en.yaml", "consent.plain.v1:", "consent.plain.v0:", "consent.plain.v1", "no words"),
        ("words/es.yaml", "consent.plain:", "rule.ghost:", "consent.plain", "no words"),
        ("words/es.yaml", "consent.plain:", "rule.ghost: x\nconsent.plain:", "rule.ghost",
         "nothing in the book"),
        ("words/en.yaml", "reason.fever_now:", "reason.warfarin:", "reason.fever_now", "no words"),
        ("words/en.yaml", "reason.dialysis:", "reason.warfarin: x\nreason.dialysis:",
         "reason.warfarin", "nothing in the book"),
        ("words/en.yaml", "rule.fever_now: fever now", "rule.fever_now: ' '", "rule.fever_now",
         "empty"),
        ("base/processes.yaml", "[1, 2]", "[2, 1]", "hot", "the least"),
        ("base/processes.yaml", "[1, 2]", "[2]", "hot", "dry_minutes"),
        ("base/processes.yaml", "dry_heat", "ultrasonic", "hot", "machine"),
        ("base/processes.yaml", "minutes: 120", "minutes: 0", "hot", "minutes"),
        ("base/instruments.yaml", "needs: sterilise", "needs: rinse", "nippers", "needs"),
        ("base/supplies.yaml", "per_visit: 2", "per_visit: 0", "gloves", "per_visit"),
        ("base/machine_checks.yaml", "[dry_heat]", "[]", "spore_test", "machines"),
        ("base/checklists.yaml", "on_arrival", "at_noon", "light", "occasion"),
        ("base/checklists.yaml", "checklist_items:",
         f"checklist_items:\n  - {{id: light, occasion: weekly, {SOURCED}}}", "light", "twice"),
        ("words/en.yaml", "process.hot: hot", "process.cold: x", "process.hot", "no words"),
        ("words/en.yaml", "machine.ultrasonic:", "machine.kiln:", "machine.ultrasonic", "no words"),
        ("words/en.yaml", "kit_note.label_time: label time\n", "", "kit_note.label_time",
         "no words"),
    ],
)  # fmt: skip
def test_a_fault_is_named(
    books: Path, file: str, old: str, new: str, entry: str, says: str
) -> None:
    text = (books / file).read_text(encoding="utf-8")
    assert old in text
    (books / file).write_text(text.replace(old, new, 1), encoding="utf-8")
    with pytest.raises(BookError) as caught:
        load_book(books)
    assert (caught.value.entry, says in caught.value.text) == (entry, True), str(caught.value)
    assert caught.value.remedy
    assert caught.value.file.split("/")[-1] == Path(file).name


def test_not_yaml_and_stray_files_are_refused(books: Path) -> None:
    (books / "base" / "rule.yaml").write_text("rules: []")
    with pytest.raises(BookError, match="no such book file"):
        load_book(books)
    (books / "base" / "rule.yaml").unlink()
    (books / "base" / "bits.yaml").write_text("bits: [")
    with pytest.raises(BookError, match="is not YAML"):
        load_book(books)


def write_overlay(books: Path, file: str, text: str) -> None:
    (books / "overlays" / "here").mkdir(parents=True, exist_ok=True)
    (books / "overlays" / "here" / file).parent.mkdir(parents=True, exist_ok=True)
    (books / "overlays" / "here" / file).write_text(text, encoding="utf-8")


def test_an_overlay_adds(books: Path) -> None:
    rule = f"{{id: local, group: here, when: fever, outcome: go, {SOURCED}}}"
    write_overlay(books, "rules/local.yaml", f"rules: [{rule}]")
    write_overlay(books, "words/en.yaml", "rule.local: A rule of this place\n")
    write_overlay(books, "book.yaml", "settings: {elderly_age: 60}")
    base, here = load_book(books), load_book(books, "here")
    assert len(here.content.rules) == len(base.content.rules) + 1
    assert here.content.settings.elderly_age == 60
    assert here.content.settings.screen_valid_hours == 24
    assert here.version != base.version


def test_an_overlay_adds_to_a_checklist(books: Path) -> None:
    item = f"{{id: local, occasion: weekly, only_in: facility, {SOURCED}}}"
    write_overlay(books, "checklists.yaml", f"checklist_items: [{item}]")
    write_overlay(books, "words/en.yaml", "checklist_item.local: A line of this place\n")
    items = load_book(books, "here").content.checklist_items
    assert [each.id for each in items] == ["light", "local"]
    assert not items[1].just_done


@pytest.mark.parametrize(
    ("file", "text", "says"),
    [
        ("rules/x.yaml",
         f"rules: [{{id: fever_now, group: g, when: fever, outcome: go, {SOURCED}}}]",
         "is in the base book already"),
        ("book.yaml", "settings: {screen_valid_hours: 48}", "never loosen"),
        ("book.yaml", "settings: {urea_minutes_min: 1}", "never loosen"),
        ("book.yaml", "settings: {elderly_age: 70}", "never loosen"),
        ("book.yaml", "settings: {storage_days_wrapped: 366}", "never loosen"),
        ("book.yaml", "settings: {solution_hours_max: 48}", "never loosen"),
        ("book.yaml", "settings: {hand_rub_seconds: 15}", "never loosen"),
        ("book.yaml", "settings: {spare_percent: 10}", "never loosen"),
        ("instruments.yaml", f"instruments: [{{id: nippers, needs: disinfect, {SOURCED}}}]",
         "is in the base book already"),
        ("processes.yaml", f"processes: [{{id: hot, level: disinfect, {SOURCED}}}]",
         "is in the base book already"),
    ],
)  # fmt: skip
def test_an_overlay_never_loosens(books: Path, file: str, text: str, says: str) -> None:
    write_overlay(books, file, text)
    with pytest.raises(BookError, match=says):
        load_book(books, "here")


def test_the_version_is_of_the_content(books: Path) -> None:
    before = load_book(books).version
    assert load_book(books).version == before
    rules = books / RULES
    rules.write_text("# a remark\n" + rules.read_text(encoding="utf-8"), encoding="utf-8")
    assert load_book(books).version == before
    words = books / "words" / "en.yaml"
    words.write_text(words.read_text(encoding="utf-8").replace("fever now", "Fever now"))
    assert load_book(books).version != before


def test_shipped_books_load_and_are_told_apart() -> None:
    versions = {book_for(overlay).version for overlay in (None, *overlays())}
    assert len(versions) == 1 + len(overlays())
    assert len(book_for(None).content.rules) >= 30
    assert book_for("us") is book_for("us")
    with pytest.raises(BookError, match="no such overlay"):
        book_for("atlantis")


def test_another_language_needs_only_what_is_signed(books: Path) -> None:
    words = load_book(books).content.words
    assert set(words["es"]) == {"consent.plain", "consent_title.plain"}


def test_each_version_of_a_text_stays_readable_and_signable(books: Path) -> None:
    book = load_book(books)
    read = [words_of(book.content, "plain", version, "en") for version in (1, 2, 3)]
    assert read == ["plain as it was", "plain", None]
    assert {id_ for id_, _ in book.consent_texts} == {"plain"}
    assert len(book.consent_texts) == 3  # two versions in English, the newest in Spanish
