"""Urea softeners: strength by band, and where none may go.

Bands: Lacarrubba et al. 2020 (2 to 12 %), Dall'Oglio et al. 2020 (15 to 30 %), published.
Labels on broken skin: product labelling convention, from memory. Minutes: common practice.
"""

from typing import Any

import pytest

from tests.standards.clients import DIABETIC, WELL, finding, judged

TOP_OF_THE_MOISTURISING_BAND = 12.0  # published
LEAST_THAT_DISSOLVES = 15.0  # published: humectant and keratolytic from 15 %
LABELS_FORBID_ON_BROKEN_SKIN_FROM = 20.0  # label convention, from memory

# (percent of urea, for ordinary skin, for cracked skin, for a diabetic client)
UREA_BANDS = [
    (2, True, True, True),  # 2 to 12 % moistens: Lacarrubba et al. 2020 (published)
    (12, True, True, True),
    (13, True, False, False),  # 12 to 15 %: placed in no band (computed), so the stricter is kept
    (15, True, False, False),  # 15 to 30 % dissolves: Dall'Oglio et al. 2020 (published)
    (30, True, False, False),
    (
        40,
        True,
        False,
        False,
    ),  # above 30 %: Starace et al. 2020 (uses published, bounds from memory)
    (41, False, False, False),  # common practice, no source: nothing above 40 %
    (50, False, False, False),
]


@pytest.mark.parametrize(("percent", "ordinary", "cracked", "diabetic"), UREA_BANDS)
def test_the_bands(percent: float, ordinary: bool, cracked: bool, diabetic: bool) -> None:
    def allowed(answers: dict[str, Any], *marks: dict[str, Any]) -> bool:
        most = judged(answers, marks).limits.softener_max_percent
        return most is not None and percent <= most

    assert (allowed(WELL), allowed(WELL, finding("crack")), allowed(DIABETIC)) == (
        ordinary,
        cracked,
        diabetic,
    )


def test_cracked_skin_gets_nothing_that_dissolves() -> None:
    limits = judged(WELL, [finding("crack")]).limits
    assert limits.softener == "allowed"
    assert limits.softener_max_percent == TOP_OF_THE_MOISTURISING_BAND
    assert limits.softener_max_percent < LEAST_THAT_DISSOLVES < LABELS_FORBID_ON_BROKEN_SKIN_FROM


@pytest.mark.parametrize(
    ("answers", "marks"),
    [
        # From memory, label convention: no keratolytic on broken, infected or inflamed skin
        ({"open_sore": True}, []),
        ({"blister_seen": True}, []),
        ({"infection_signs": True}, []),
        ({}, [finding("ulcer")]),
        ({}, [finding("redness")]),
        ({}, [finding("rash")]),
        ({}, [finding("crack", state="open")]),
        ({}, [finding("crack", bleeding=True)]),
        ({}, [finding("crack", oozing=True)]),
        # Allergy: labels, convention
        ({"allergy_urea": True}, []),
        ({"allergy_urea": "dont_know"}, []),
    ],
    ids=str,
)
def test_no_softener_at_all(answers: dict[str, Any], marks: list[dict[str, Any]]) -> None:
    assert judged(WELL | answers, marks).limits.softener == "none"


@pytest.mark.parametrize(
    "answers", [DIABETIC, WELL | {"thin_skin": True}, WELL | {"pregnant": True}]
)
def test_sensitive_clients_stay_in_the_moisturising_band(answers: dict[str, Any]) -> None:
    # Band published; that it binds these clients is common practice, no source.
    assert judged(answers).limits.softener_max_percent == TOP_OF_THE_MOISTURISING_BAND


def test_a_well_client_stays_at_or_below_what_dissolves_nails() -> None:
    # About 40 % softens nails off (Pan et al. 2013 lists avulsion, published; 40 % from lay pages).
    assert judged(WELL).limits.softener_max_percent == 40


def test_minutes() -> None:
    # Common practice, no source: 2 to 3 minutes.
    limits = judged(WELL).limits
    assert (limits.softener_min_minutes, limits.softener_max_minutes) == (2, 3)


def test_an_unanswered_allergy_allows_no_softener_and_holds() -> None:
    # House rule: the limits of an open rule bind until it is settled.
    unasked = judged({key: value for key, value in WELL.items() if key != "allergy_urea"})
    assert unasked.limits.softener == "none"
    assert "allergy_urea" in unasked.to_ask


def test_a_client_who_must_not_have_urea_is_not_told_to_use_it() -> None:
    # Labels, convention, from memory.
    assert "cream_daily" in judged(WELL).aftercare
    barred = judged(WELL | {"allergy_urea": True}).aftercare
    assert "cream_daily" not in barred
    assert "cream_without_urea" in barred
