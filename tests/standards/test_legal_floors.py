"""When two states forbid cosmetic work on a foot, and what they leave alone.

16 Tex. Admin. Code 83.102(b); 16 CCR 984, 991 and 992 (all published).
"""

from typing import Any

import pytest

from heelwright.rulebook import OUTCOMES
from tests.standards.clients import WELL, finding, judged

REFERS = OUTCOMES.index("refer_first")
# (what the code says, answers, marks)
TEXAS_REFUSES: list[tuple[str, dict[str, Any], list[str]]] = [
    ("contagious, such as ringworm", {"skin_fungus": True}, []),
    ("contagious, of any kind", {"catching_illness": True}, []),
    ("contagious, in a nail", {"nail_fungus": True}, []),
    ("contagious, a wart", {"wart_seen": True}, []),
    ("inflamed", {}, ["redness"]),
    ("infected", {"infection_signs": True}, []),
    ("infected nail tissue", {"ingrown_infected": True}, []),
    ("broken", {}, ["wound"]),
    ("raised", {}, ["lump"]),
    ("raised, a rash", {}, ["rash"]),
    ("swollen", {}, ["swelling"]),
    ("open wound or sore", {"open_sore": True}, []),
    ("open wound or sore on the map", {}, ["ulcer"]),
]


@pytest.mark.parametrize(
    ("answers", "marks"), [row[1:] for row in TEXAS_REFUSES], ids=[row[0] for row in TEXAS_REFUSES]
)
def test_texas_refuses(answers: dict[str, Any], marks: list[str]) -> None:
    judgement = judged(WELL | answers, [finding(what) for what in marks], place="us")
    assert OUTCOMES.index(judgement.outcome) >= REFERS


def test_california_outer_skin_only_and_no_razor() -> None:
    # 16 CCR 991 and 992
    limits = judged(WELL | {"callus_pinpoint": True}, [finding("corn")], place="us").limits
    assert limits.no_blades and limits.no_bit_in_crack
    assert "corn_core" in limits.leave_alone
