"""No table of a published source loses a row unnoticed."""

from tests.standards.tables import TABLES, summary

# What the sources hold, counted by hand; touch patterns are 2 to the power of 6.
ROWS = {
    "IWGDF 2023, Table 1: categories and intervals": 14,
    "NICE NG19: categories, first seen, reassessment": 13,
    "IWGDF against NICE: where they disagree": 8,
    "ADA section 12: the yearly check": 10,
    "ADA section 12: nerves and blood flow": 8,
    "NICE NG19 1.4.1: at once": 8,
    "NICE NG19 1.4.2: within a working day": 6,
    "Red flags of any client": 11,
    "Ipswich Touch Test: patterns of six toes": 64,
    "Urea bands": 8,
    "16 Tex. Admin. Code 83.102(b)": 13,
    "CDC 2008, Tables 7 and 8, and dry heat: cycles": 10,
    "Classes of Spaulding, and what two states say of tools": 16,
    "Solutions, C1 V1 = C2 V2": 21,
    "Surface speed, v = pi d n": 40,
}


def test_no_table_loses_a_row() -> None:
    assert {title: len(rows) for title, rows in TABLES.items()} == ROWS
    assert summary() == "250 rows of 15 tables"
