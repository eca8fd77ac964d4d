"""The plus codes by which the phone's reader is checked, as the open reference code reads them."""

from openlocationcode import openlocationcode as reference

from tests.parity.vectors import read

VECTORS = read("plus_codes.json")


def test_the_vectors_are_as_the_reference_code_reads_them() -> None:
    for code, lat, lon in VECTORS["whole"]:
        cell = reference.decode(code)
        found = (round(cell.latitudeCenter, 9), round(cell.longitudeCenter, 9))
        assert (code, *found) == (code, lat, lon)
    assert [code for code in VECTORS["no_whole"] if reference.isFull(code)] == []
    assert [code for code in VECTORS["short"] if not reference.isShort(code)] == []
    assert [code for code in VECTORS["no_short"] if reference.isShort(code)] == []
