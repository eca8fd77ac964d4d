"""Sealed fields on rows: plain outside, sealed at rest, opened late and in place."""

from datetime import date
from uuid import UUID

import pytest
from django.db import connection, models

from heelwright import vault
from heelwright.ids import new_id
from heelwright.vault.errors import SealBroken, SealMisuse, UnsealableValue
from tests.vault.conftest import RawColumn
from tests.vault.refusals import refused
from tests.vault.trial_models import Letter, Person, Remark

pytestmark = pytest.mark.django_db

MARKER = "Quillfeather"


def person(practice: UUID, **values: object) -> Person:
    row = Person(practice_id=practice, **{"name": MARKER, **values})
    row.save()
    return row


def put(row: models.Model, column: str, sealed: bytes) -> None:
    """Write bytes into a column past the field, as somebody at the database could."""
    key = row._meta.pk.get_db_prep_value(row.pk, connection)
    with connection.cursor() as cursor:
        cursor.execute(
            f"UPDATE {row._meta.db_table} SET {column} = %s WHERE id = %s",
            [sealed, key],
        )


def test_every_kind_comes_back_as_it_was(practice: UUID) -> None:
    values = {
        "name": MARKER,
        "born": date(1941, 3, 9),
        "age": 85,
        "careful": True,
        "answers": {"diabetes": True, "toes": [1, 2], "unsure": None},
        "places": ["heel", {"side": "left"}],
    }
    made = person(practice, **values)
    assert {name: getattr(made, name) for name in values} == values
    found = Person.objects.get(pk=made.pk)
    assert {name: getattr(found, name) for name in values} == values


def test_the_column_holds_an_envelope_and_no_trace_of_the_value(
    practice: UUID, raw: RawColumn
) -> None:
    row = person(practice, answers={"note": MARKER})
    for column in ("name", "answers"):
        sealed = raw(row, column)
        assert sealed[:1] == b"\x01"
        assert MARKER.encode() not in sealed
    assert vault.sealed_bytes(row, "name") == raw(row, "name")
    assert vault.sealed_bytes(Person.objects.get(pk=row.pk), "name") == raw(row, "name")


def test_sealing_the_same_value_twice_gives_two_envelopes(practice: UUID, raw: RawColumn) -> None:
    row = person(practice)
    before = raw(row, "name")
    row.save()
    assert raw(row, "name") != before


def test_none_is_null_and_stays_none(practice: UUID) -> None:
    assert Person.objects.get(pk=person(practice).pk).born is None


def test_a_list_of_rows_opens_only_what_is_read(
    practice: UUID, monkeypatch: pytest.MonkeyPatch
) -> None:
    person(practice, answers={"a": 1})
    opened: list[str] = []
    real = vault.values.open_bytes

    def counted(place: vault.Place, sealed: bytes) -> bytes:
        opened.append(place.column)
        return real(place, sealed)

    monkeypatch.setattr("heelwright.vault.values.open_bytes", counted)
    rows = list(Person.objects.filter(practice_id=practice))
    assert opened == []
    assert rows[0].name == MARKER
    assert rows[0].name == MARKER
    assert opened == ["name"]


def test_what_a_program_changes_inside_a_mapping_is_saved(practice: UUID) -> None:
    row = Person.objects.get(pk=person(practice, answers={"a": 1}).pk)
    row.answers["b"] = 2
    row.save()
    assert Person.objects.get(pk=row.pk).answers == {"a": 1, "b": 2}


def test_an_unread_value_goes_back_as_the_same_envelope(practice: UUID, raw: RawColumn) -> None:
    row = person(practice)
    before = raw(row, "name")
    found = Person.objects.get(pk=row.pk)
    found.shelf = "B"
    found.save()
    assert raw(row, "name") == before
    assert Person.objects.get(pk=row.pk).name == MARKER


def test_deferred_fields_are_fetched_when_read_and_left_alone_when_not(
    practice: UUID, raw: RawColumn
) -> None:
    row = person(practice)
    before = raw(row, "name")
    found = Person.objects.only("shelf").get(pk=row.pk)
    found.shelf = "C"
    found.save()
    assert raw(row, "name") == before
    assert Person.objects.defer("name").get(pk=row.pk).name == MARKER


def test_bulk_create_seals(practice: UUID, raw: RawColumn) -> None:
    rows = [Person(practice_id=practice, name=f"{MARKER} {n}") for n in range(3)]
    Person.objects.bulk_create(rows)
    assert [Person.objects.get(pk=row.pk).name for row in rows] == [row.name for row in rows]
    assert MARKER.encode() not in raw(rows[0], "name")


def test_a_value_about_the_practice_is_under_the_practices_key(practice: UUID) -> None:
    row = Remark.objects.create(practice_id=practice, text=MARKER)
    assert Remark.objects.get(pk=row.pk).text == MARKER
    vault.shred(practice)
    with pytest.raises(SealBroken):
        _ = Remark.objects.get(pk=row.pk).text


def test_an_envelope_in_another_row_stays_shut(practice: UUID, raw: RawColumn) -> None:
    client = new_id()
    one = Remark.objects.create(practice_id=practice, client_id=client, text="one")
    two = Remark.objects.create(practice_id=practice, client_id=client, text="two")
    put(two, "text", raw(one, "text"))
    with pytest.raises(SealBroken):
        _ = Remark.objects.get(pk=two.pk).text


def test_an_envelope_in_another_column_stays_shut(practice: UUID, raw: RawColumn) -> None:
    row = Remark.objects.create(practice_id=practice, client_id=new_id(), text="one")
    put(row, "other", raw(row, "text"))
    with pytest.raises(SealBroken):
        _ = Remark.objects.get(pk=row.pk).other


def test_an_envelope_in_another_table_stays_shut(practice: UUID, raw: RawColumn) -> None:
    client, same = new_id(), new_id()
    one = Remark.objects.create(id=same, practice_id=practice, client_id=client, text="one")
    two = Letter.objects.create(id=same, practice_id=practice, client_id=client, text="two")
    put(two, "text", raw(one, "text"))
    with pytest.raises(SealBroken):
        _ = Letter.objects.get(pk=same).text


def test_a_row_moved_to_another_client_or_practice_stays_shut(practice: UUID) -> None:
    row = Remark.objects.create(practice_id=practice, client_id=new_id(), text="one")
    other = Remark.objects.create(practice_id=practice, client_id=new_id(), text="two")
    Remark.objects.filter(pk=row.pk).update(client_id=other.client_id)
    with pytest.raises(SealBroken):
        _ = Remark.objects.get(pk=row.pk).text
    Remark.objects.filter(pk=other.pk).update(practice_id=new_id())
    with pytest.raises(SealBroken):
        _ = Remark.objects.get(pk=other.pk).text


def test_a_changed_client_seals_anew_what_was_read_and_refuses_what_was_not(practice: UUID) -> None:
    row = Remark.objects.create(practice_id=practice, client_id=new_id(), text="one")
    unread = Remark.objects.get(pk=row.pk)
    unread.client_id = new_id()
    with refused(SealBroken):
        unread.save()
    read = Remark.objects.get(pk=row.pk)
    assert read.text == "one"
    read.client_id = new_id()
    read.save()
    assert Remark.objects.get(pk=row.pk).text == "one"


def test_a_copied_row_is_refused_while_unread(practice: UUID) -> None:
    copy = Remark.objects.get(pk=Remark.objects.create(practice_id=practice, text="one").pk)
    copy.pk, copy._state.adding = new_id(), True
    with refused(SealBroken):
        copy.save()


@pytest.mark.parametrize(
    "values", [{"name": b"bytes"}, {"age": True}, {"born": "1941-03-09"}, {"answers": []}]
)
def test_a_value_of_another_type_is_refused_at_the_save(
    practice: UUID, values: dict[str, object]
) -> None:
    with refused(UnsealableValue, match="vault_trial.Person"):
        person(practice, **values)
    assert not Person.objects.exists()


def test_a_row_without_an_id_is_refused() -> None:
    row = Remark(practice_id=new_id(), text="one")
    row.pk = None
    with pytest.raises(SealMisuse, match="its id"):
        Remark._meta.get_field("text").pre_save(row, add=True)


def test_blobs_are_bound_to_their_place_too(practice: UUID) -> None:
    here = vault.Place(practice, new_id(), "visits_photo", "pixels", "7")
    sealed = vault.seal_bytes(here, b"\x00pixels")
    assert vault.open_bytes(here, sealed) == b"\x00pixels"
    there = vault.Place(practice, here.subject, "visits_photo", "pixels", "8")
    with pytest.raises(SealBroken, match=r"visits_photo\.pixels"):
        vault.open_bytes(there, sealed)


def test_fingerprints_are_equal_for_equal_content_of_one_subject_only(practice: UUID) -> None:
    client = new_id()
    one = vault.fingerprint(practice, "command", b"content", subject=client)
    assert one == vault.fingerprint(practice, "command", b"content", subject=client)
    assert one != vault.fingerprint(practice, "command", b"content")
    assert one != vault.fingerprint(practice, "screen", b"content", subject=client)
