"""First aid in the book: general practice from memory, in short plain steps that defer.

The steps that are checked are those of general first-aid courses, from memory. Plain language as in
test_consent_reading_level.
"""

import pytest

from heelwright.rulebook import book_for
from heelwright.rulebook.schema import Mishap
from tests.standards.test_consent_reading_level import grade

PLACES = (None, "us", "uk")
PLACE_NUMBERS = [(None, None), ("us", "911"), ("uk", "999"), ("ca", "911"), ("au", "000")]
BOOK = book_for(None).content
MISHAPS = {mishap.id: mishap for mishap in BOOK.mishaps}
every_mishap = pytest.mark.parametrize("mishap", BOOK.mishaps, ids=lambda one: one.id)


def steps(mishap: str) -> list[str]:
    return BOOK.words["en"][f"mishap.{mishap}.first_aid"].splitlines()


def test_each_thing_that_a_person_may_have_to_report_is_there() -> None:
    assert set(MISHAPS) == {
        "nick", "burn", "bleeding", "faint", "fall", "allergic", "pain", "technician_hurt",
        "stopped_midway", "other",
    }  # fmt: skip


@every_mishap
def test_first_aid_is_short_steps_in_plain_words(mishap: Mishap) -> None:
    """A person with shaking hands reads one line at a time: our own rule."""
    told = steps(mishap.id)
    assert 4 <= len(told) <= 8
    assert max(len(step.split()) for step in told) <= 26
    assert grade(" ".join(told)) <= 6.0


@every_mishap
def test_first_aid_leads_to_the_emergency_number(mishap: Mishap) -> None:
    assert any("emergency number" in step for step in steps(mishap.id))


@every_mishap
def test_what_ends_the_visit_says_so_and_claims_no_published_ground(mishap: Mishap) -> None:
    says = any(step.startswith("Do no more work today") for step in steps(mishap.id))
    assert says == (mishap.ends_visit and mishap.id != "stopped_midway")
    assert mishap.basis in ("from_memory", "common_practice")


@pytest.mark.parametrize("mishap", ["nick", "bleeding", "fall"])
def test_blood_thinners_are_thought_of(mishap: str) -> None:
    # Design rule on blood thinners (pressure on hand for bleeding), convention, from memory.
    assert any("blood thinner" in step for step in steps(mishap))


def test_bleeding_is_pressed_on_without_a_break() -> None:
    for mishap in ("nick", "bleeding"):
        assert any("Do not let go to look" in step for step in steps(mishap))


def test_a_burn_is_cooled_with_water_for_twenty_minutes() -> None:
    assert any("running water for 20 minutes. No ice" in step for step in steps("burn"))


def test_chest_pain_and_hard_breathing_call_at_once() -> None:
    assert any("at once for chest pain, hard breathing" in step for step in steps("faint"))
    assert any("hard breathing" in step and "at once" in step for step in steps("allergic"))


def test_no_step_names_an_illness_as_found() -> None:
    """The tool prompts and never diagnoses: it says what is seen, not what it is."""
    for mishap in MISHAPS:
        for step in steps(mishap):
            assert not any(word in step.lower() for word in ("stroke", "anaphyla", "infarct"))


@pytest.mark.parametrize(("place", "number"), PLACE_NUMBERS)
def test_the_number_to_dial_is_that_of_the_place(place: str | None, number: str | None) -> None:
    """National emergency numbers, from memory; the rules of the same book call the same one."""
    content = book_for(place).content
    assert content.emergency_number == number
    called = content.words["en"]["rule.gangrene_seen"]
    assert f"Call {number or 'the emergency number'} now" in called


@pytest.mark.parametrize("place", PLACES)
def test_what_tells_to_put_cream_on_is_not_ticked_where_the_skin_may_be_hurt(
    place: str | None,
) -> None:
    # No cream on a burn or broken skin: general first-aid practice, from memory.
    content = book_for(place).content
    put_on = ("Rub a", "Put it on")
    tells = {
        one.id
        for one in content.aftercare
        if any(words in content.words["en"][f"aftercare.{one.id}"] for words in put_on)
    }
    assert tells == {one.id for one in content.aftercare if one.on_hurt_skin == "not_ticked"}
    told = {one.id for one in content.aftercare if one.on_hurt_skin == "told"}
    assert told == {"hurt_skin", "warning_signs"}


def test_whatever_burns_or_bleeds_may_have_hurt_the_skin() -> None:
    for mishap in BOOK.mishaps:
        touches = any(word in " ".join(steps(mishap.id)) for word in ("Press", "Cool the skin"))
        assert mishap.hurts_skin or not touches, mishap.id
