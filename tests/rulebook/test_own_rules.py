"""A practice's own rules may add to the book and never take away; bad text gets a clear error."""

from contextlib import suppress
from random import Random
from typing import Any

import pytest
import yaml
from hypothesis import example, given, settings
from hypothesis import strategies as st

from heelwright.rulebook import BookError, Judgement, book_for, overlays
from heelwright.rulebook.checks import word_keys
from heelwright.rulebook.own import MOST_CHARACTERS, PREFIX
from tests.parity.random_answers import draw
from tests.rulebook.clients import randoms
from tests.rulebook.own_rules import own_text
from tests.rulebook.test_properties import tighter, weight
from tests.run_length import runs

OWN = """
limits:
  - {id: own_slow, top_speed_m_s: 3, source: Our trainer, basis: common_practice}
rules:
  - {id: own_all_slow, group: own_rules, when: "true", outcome: go, limits: [own_slow],
     source: Our trainer, basis: common_practice}
  - {id: own_crack, group: own_rules, when: deepest_crack_mm > 1.0, outcome: needs_clearance,
     refer_to: gp, within: weeks, source: Our own rule, basis: common_practice}
checklist_items:
  - {id: own_key, occasion: on_leaving, only_in: home, source: Our own rule, basis: common_practice}
settings: {elderly_age: 60, technician_checks_pulses: true}
words:
  en:
    limit.own_slow: Never faster than 3 meters a second.
    rule.own_all_slow: Slow for everyone.
    rule.own_crack: A crack deeper than 1 mm.
    checklist_item.own_key: The key is back in its safe.
"""
RULE = "group: own_rules, source: Our own rule, basis: common_practice"


def test_own_rules_join_the_book_of_the_place() -> None:
    for place in (None, *overlays()):
        before, book = book_for(place), book_for(place, OWN)
        assert len(book.content.rules) == len(before.content.rules) + 2
        assert book.content.settings.technician_checks_pulses
        assert not before.content.settings.technician_checks_pulses
        assert book.content.settings.elderly_age == 60
        assert book.content.checklist_items[-1].id == "own_key"
        assert book.judge({}, [], 50).limits.top_speed_m_s == 3
        assert book.content.words["en"]["rule.own_crack"] == "A crack deeper than 1 mm."


def test_the_version_is_of_the_content_and_the_same_text_is_read_once() -> None:
    assert book_for("us", OWN) is book_for("us", OWN)
    assert book_for("us", "# a remark\n" + OWN).version == book_for("us", OWN).version
    assert len({book_for(None, OWN).version, book_for("us", OWN).version,
                book_for(None).version}) == 3  # fmt: skip
    assert book_for("us", "") is book_for("us", " \n") is book_for("us")


def test_no_shipped_entry_begins_as_own_ones_do() -> None:
    for place in (None, *overlays()):
        keys = word_keys(book_for(place).content)
        assert not [key for key in keys if key.partition(".")[2].startswith(PREFIX)]


@pytest.mark.parametrize(
    ("text", "entry", "says"),
    [
        # Loosening
        (f"rules: [{{id: diabetes_limits, when: diabetic, outcome: go, {RULE}}}]",
         "diabetes_limits", ("looser in: outcome (go_with_limits is stricter than go), "
         "limits (without diabetic_feet)")),
        ((f"rules: [{{id: gangrene_seen, when: black_tissue, outcome: emergency, refer_to: gp,"
         f" within: days, {RULE}}}]"), "gangrene_seen",
         ("refer_to (emergency_services is stricter than gp), within (now is stricter than days),"
         " when")),
        (("limits: [{id: everyone, max_rpm: {carbide_ball: 30000}, softener_max_percent: 50,"
         " no_blades: true, no_bit_in_crack: true, softener_min_minutes: 2,"
         " softener_max_minutes: 3, source: x, basis: common_practice}]"), "everyone",
         "looser in: max_rpm, softener_max_percent"),
        (f"rules: [{{id: fragile, when: thin_skin, {RULE}}}]", "fragile", "in the book already"),
        ("groups: [{id: today, part: health, questions: [{id: own_x, kind: yes_no}]}]", "today",
         "in the book already"),
        ("aftercare: [{id: look_daily, source: x, basis: common_practice}]", "look_daily",
         "in the book already"),
        ("settings: {elderly_age: 70}", "settings.elderly_age", "70 is looser than 65"),
        ("settings: {screen_valid_hours: 48}", "settings.screen_valid_hours", "looser"),
        ("settings: {urea_minutes_min: 1}", "settings.urea_minutes_min", "looser"),
        ("settings: {technician_checks_pulses: false}", "settings.technician_checks_pulses",
         "may be turned on"),
        ("words: {en: {rule.gangrene_seen: All is well.}}", "rule.gangrene_seen",
         "not your own"),
        ("words: {en: {consent.foot_care: You may not say no.}}", "consent.foot_care",
         "not your own"),
        ("bits: [{id: own_blade}]", "bits", "no section"),
        ("processes: [{id: own_rinse}]", "processes", "no section"),
        ("checklist_items: [{id: light, occasion: weekly, source: x, basis: common_practice}]",
         "light", "in the book already"),
        ("settings: {storage_days_unwrapped: 30}", "settings.storage_days_unwrapped", "looser"),
        ("settings: {hand_wash_seconds: 20}", "settings.hand_wash_seconds", "looser"),
        ("facts: []", "facts", "no section"),
        ("consent_texts: []", "consent_texts", "no section"),
        # Not fit for a book
        ("rules: [{id: mine, when: diabetic}]", "mine", "not marked as your own"),
        ((f"rules: [{{id: own_a, when: diabetis, outcome: go, {RULE}}}]\n"
         "words: {en: {rule.own_a: A}}"), "own_a", "diabetis is neither"),
        ((f"rules: [{{id: own_a, when: '!!diabetes', outcome: go, {RULE}}}]\n"
         "words: {en: {rule.own_a: A}}"), "own_a", "two !"),
        ((f"rules: [{{id: own_a, when: '{'(' * 60}diabetes{')' * 60}', outcome: go, {RULE}}}]\n"
         "words: {en: {rule.own_a: A}}"), "own_a", "recursion"),
        ((f"rules: [{{id: own_a, when: 'true', outcome: go, limits: [own_l], {RULE}}}]\n"
         "words: {en: {rule.own_a: A}}"), "own_a", "the limit own_l"),
        (f"rules: [{{id: own_a, when: 'true', outcome: go, {RULE}}}]", "rule.own_a", "no words"),
        (f"rules: [{{id: own_a, when: 'true', outcome: refer_first, {RULE}}}]", "own_a",
         "needs refer_to and within"),
        (f"rules: [{{id: own_a, when: 'true', outcome: go, stronger: 1, {RULE}}}]", "own_a",
         "stronger"),
        ("limits: [{id: own_l, softener_max_percent: 200, source: x, basis: common_practice}]",
         "own_l", "softener_max_percent"),
        ("groups: [{id: own_g, part: health, questions: [{id: numb, kind: yes_no}]}]", "numb",
         "not marked as your own"),
        ("settings: {elderly_age: old}", "settings.elderly_age", "not a number"),
        ("settings: {elderly_age: 60.5}", "settings", "elderly_age"),
        ("settings: {urea_minutes_min: 4}", "settings", "urea_minutes_min"),
        ("settings: {shoe_size: 4}", "settings.shoe_size", "no such setting"),
        ("words: {xx: {}}", "words.xx", "a language that the book does not have"),
        ("words: {en: {rule.own_a: 4}}", "rule.own_a", "not text"),
        ("words: {en: {rule.own_a: A}}", "rule.own_a", "nothing in the book shows"),
        # Not plain YAML
        ("rules: [", "text", "not plain YAML in line 1"),
        ("rules: []\nrules: []", "text", "line 2: two keys 'rules'"),
        ("a: &a [x]\nrules: [*a, *a]", "text", "line 1: anchors, aliases"),
        ("rules: !!python/object:os.system []", "text", "tags"),
        ("[" * 40_000, "text", "nested too deep"),
        ("rules: " + "{a: " * 9_000, "text", "nested too deep"),
        ("- a", "text", "not a list of names"),
        ("# nothing yet", "text", "not a list of names"),
        ("1: 2", "text", "not a list of names"),
        ("rules: 5", "rules", "not a list"),
        ("rules: [5]", "entry without an id", "not marked"),
        ("groups: [own_g]", "entry without an id", "not marked"),
        ("areas: [{id: own_a}]", "entry without an id", "not marked"),
        ("words: [a]", "words", "not a list of names"),
        # Values at which a YAML reader stumbles, or that JSON cannot hold
        ("rules: [{id: own_a, when: 2026-13-45}]", "text", "neither text, number"),
        ("rules: [{id: own_a, when: 2026-11-25}]", "text", "neither text, number"),
        ("settings: {elderly_age: .nan}", "text", "neither text, number"),
        ("settings: {elderly_age: 0b_}", "text", "neither text, number"),
        ("settings: {elderly_age: " + "9" * 5_000 + "}", "text", "neither text, number"),
        ('words: {en: {rule.own_a: "\\ud800"}}', "text", "neither text, number"),
        ("rules: \x00", "text", "neither text, number"),
        ("a" * (MOST_CHARACTERS + 1), "text", "longer than"),
    ],
)  # fmt: skip
def test_what_is_wrong_is_named_with_its_remedy(text: str, entry: str, says: str) -> None:
    with pytest.raises(BookError) as caught:
        book_for("us", text)
    assert caught.value.entry == entry
    assert says in caught.value.text
    assert caught.value.file == "own rules"
    assert caught.value.remedy


def test_conditions_made_of_conditions_do_not_grow_without_bound() -> None:
    doubled = [{"id": "own_0", "when": "diabetes || numb_feet"}] + [
        {"id": f"own_{n}", "when": " || ".join([f"own_{n - 1}"] * 9)} for n in range(1, 40)
    ]
    words = {"en": {f"condition.own_{n}": "A condition" for n in range(40)}}
    with pytest.raises(BookError, match="when written out"):
        book_for(None, yaml.safe_dump({"conditions": doubled, "words": words}))


names = st.sampled_from(["own_a", "own_b", "yes_no", "diabetes", "true", "go"])
scalars = st.none() | st.booleans() | st.integers() | st.floats() | st.text() | names
KEYS = ["id", "when", "outcome", "questions", "kind", "group", "part", "limits", "max_rpm", "en",
        "rule.own_a", "elderly_age", "source", "basis", "weeks"]  # fmt: skip
anything = st.recursive(
    scalars,
    lambda inner: (
        st.lists(inner, max_size=3) | st.dictionaries(st.sampled_from(KEYS), inner, max_size=6)
    ),
    max_leaves=20,
)
SECTIONS = ["rules", "limits", "groups", "conditions", "areas", "aftercare", "stop_signs",
            "intervals", "checklist_items", "settings", "words", "bits"]  # fmt: skip


@settings(max_examples=runs(short=200, long=10_000))
@given(
    st.dictionaries(st.sampled_from(SECTIONS), anything, max_size=4).map(
        lambda held: yaml.dump(held, Dumper=yaml.SafeDumper)
    )
    | st.text(max_size=200)
)
def test_any_text_ends_in_a_book_or_in_a_clear_error(text: str) -> None:
    with suppress(BookError):
        assert book_for("us", text).version


def known_to(answers: dict[str, Any], place: str | None) -> dict[str, Any]:
    return {key: value for key, value in answers.items() if key in book_for(place).question_ids}


def no_milder(there: Judgement, base: Judgement) -> None:
    """What fired fires, or is open and holds the client: a practice that has pulses felt leaves
    open what rests on them until they are."""
    assert weight(there.outcome) >= weight(base.outcome) or there.held
    assert there.held >= base.held
    assert base.complete >= there.complete
    assert tighter(there.limits, base.limits)
    known = {rule.id for rule in there.fired} | {rule.id for rule in there.open}
    assert known >= {rule.id for rule in base.fired}
    assert (there.weeks_until_next or 99) <= (base.weeks_until_next or 99)
    if base.referral is not None and weight(base.referral.level) >= weight("refer_first"):
        assert there.referral is not None
        assert weight(there.referral.level) >= weight(base.referral.level)


@settings(max_examples=runs(short=40, long=500))
@example(Random(277), None)  # has pulses felt that nobody has felt yet
@given(randoms, st.sampled_from([None, *overlays()]))
def test_own_rules_only_tighten(random: Random, place: str | None) -> None:
    """Twenty clients for each text: ten thousand in the long tier."""
    book = book_for(place, own_text(random))
    for _ in range(20):
        answers, findings, age = draw(book, random)
        base = book_for(place).judge(known_to(answers, place), findings, age)
        no_milder(book.judge(answers, findings, age), base)
