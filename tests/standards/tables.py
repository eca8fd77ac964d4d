"""The published tables that the book is held against, with their rows, so that they can be counted.

A table of mixed standing says so beside each row.
"""

from collections.abc import Sequence
from typing import Any

from tests.standards import test_active_foot_urgency as urgency
from tests.standards import test_foot_risk as risk
from tests.standards import test_kit as kit
from tests.standards.test_dilution import VECTORS as SOLUTIONS
from tests.standards.test_legal_floors import TEXAS_REFUSES
from tests.standards.test_light_touch import PATTERNS
from tests.standards.test_softener_bands import UREA_BANDS
from tests.standards.test_surface_speed import VECTORS

TABLES: dict[str, Sequence[Any]] = {
    "IWGDF 2023, Table 1: categories and intervals": risk.IWGDF_TABLE_1,
    "NICE NG19: categories, first seen, reassessment": risk.NICE_NG19,
    "IWGDF against NICE: where they disagree": risk.DISAGREEMENTS,
    "ADA section 12: the yearly check": risk.ADA_YEARLY_CHECK,
    "ADA section 12: nerves and blood flow": risk.ADA_TESTS,
    "NICE NG19 1.4.1: at once": urgency.LIMB_OR_LIFE_THREATENING,
    "NICE NG19 1.4.2: within a working day": urgency.ACTIVE,
    "Red flags of any client": urgency.RED_FLAGS,
    "Ipswich Touch Test: patterns of six toes": PATTERNS,
    "Urea bands": UREA_BANDS,
    "16 Tex. Admin. Code 83.102(b)": TEXAS_REFUSES,
    "CDC 2008, Tables 7 and 8, and dry heat: cycles": kit.CDC_CYCLES,
    "Classes of Spaulding, and what two states say of tools": kit.CLASSES,
    "Solutions, C1 V1 = C2 V2": [
        row for key in ("recipes", "ratios", "spoons") for row in SOLUTIONS[key]
    ],
    "Surface speed, v = pi d n": [*VECTORS["speeds"], *VECTORS["six_mm"], *VECTORS["turns"]],
}


def summary() -> str:
    return f"{sum(map(len, TABLES.values()))} rows of {len(TABLES)} tables"


if __name__ == "__main__":
    print(summary())
    for title, rows in TABLES.items():
        print(f"{len(rows):4} rows: {title}")
