"""The ways in which field encryption has lost people's data, each shut.

The list of ways: from memory, of public bug reports against field encryption libraries.
"""

from typing import Any
from uuid import UUID

import pytest
from django import forms
from django.core import serializers
from django.core.exceptions import FieldError
from django.db import connection, models
from django.db.models import F, Max, Q, Value
from django.db.models.functions import Lower
from pytest_django import Settings

from heelwright.vault.errors import SealBroken, SealMisuse
from heelwright.vault.fields import SealedField
from heelwright.vault.values import open_value
from tests.vault.conftest import RawColumn
from tests.vault.refusals import refused
from tests.vault.test_fields import put
from tests.vault.trial_models import Person, Remark

pytestmark = pytest.mark.django_db

MARKER = "Quillfeather"


@pytest.fixture
def row(practice: UUID) -> Person:
    return Person.objects.create(practice_id=practice, name=MARKER)


def test_keys_do_not_come_from_djangos_secret(row: Person, settings: Settings) -> None:
    settings.SECRET_KEY = "quite another secret"
    assert Person.objects.get(pk=row.pk).name == MARKER


def test_a_failed_open_raises_each_time_and_nothing_is_saved_again(
    row: Person, raw: RawColumn
) -> None:
    damaged = raw(row, "name")[:-1] + b"\x00"
    put(row, "name", damaged)
    found = Person.objects.get(pk=row.pk)
    for _ in range(2):
        with pytest.raises(SealBroken) as caught:
            _ = found.name
        assert MARKER not in str(caught.value)
    found.shelf = "B"
    with refused(SealBroken):
        found.save()
    assert raw(row, "name") == damaged
    found.save(update_fields=["shelf"])
    assert raw(row, "name") == damaged


def test_plain_text_in_the_column_is_not_read_as_a_value(row: Person) -> None:
    put(row, "name", b"never sealed")
    with pytest.raises(SealBroken):
        _ = Person.objects.get(pk=row.pk).name


@pytest.mark.parametrize(
    "value", [MARKER, b"\x01bytes", Value(MARKER), F("shelf"), F("answers"), Lower("shelf")]
)
def test_a_raw_update_is_refused(row: Person, raw: RawColumn, value: object) -> None:
    before = raw(row, "name")
    with refused(SealMisuse):
        Person.objects.filter(pk=row.pk).update(name=value)
    assert raw(row, "name") == before


def test_an_update_may_empty_a_column(row: Person) -> None:
    row.born = None
    Person.objects.filter(pk=row.pk).update(born=None)
    assert Person.objects.get(pk=row.pk).born is None


def test_bulk_update_is_refused(row: Person, raw: RawColumn) -> None:
    before = raw(row, "name")
    row.name = "Another"
    with refused(SealMisuse):
        Person.objects.bulk_update([row], ["name"])
    assert raw(row, "name") == before
    row.shelf = "B"
    Person.objects.bulk_update([row], ["shelf"])
    assert Person.objects.get(pk=row.pk).shelf == "B"


def test_bulk_create_over_an_existing_row_is_refused(practice: UUID, raw: RawColumn) -> None:
    row = Person.objects.create(practice_id=practice, number=1, name=MARKER)
    before = raw(row, "name")
    with refused(SealMisuse, match="update_conflicts"):
        Person.objects.bulk_create(
            [Person(practice_id=practice, number=1, name="Another")],
            update_conflicts=True,
            unique_fields=["number"],
            update_fields=["name"],
        )
    assert raw(row, "name") == before


def test_an_expression_on_the_attribute_is_refused_at_the_save(row: Person) -> None:
    row.name = F("shelf")  # type: ignore[assignment]
    with pytest.raises(ValueError, match="expected str"):
        row.save()


QUERIES: dict[str, Any] = {
    "exact": lambda rows: rows.filter(name=MARKER),
    "exclude": lambda rows: rows.exclude(name=MARKER),
    "in": lambda rows: rows.filter(name__in=[MARKER]),
    "contains": lambda rows: rows.filter(name__icontains=MARKER),
    "isnull": lambda rows: rows.filter(born__isnull=True),
    "key": lambda rows: rows.filter(answers__diabetes=True),
    "Q": lambda rows: rows.filter(Q(name=MARKER) | Q(shelf="")),
    "F on the right": lambda rows: rows.filter(shelf=F("name")),
    "order_by": lambda rows: rows.order_by("name"),
    "order_by down": lambda rows: rows.order_by("-name"),
    "order_by F": lambda rows: rows.order_by(F("name").desc()),
    "order_by function": lambda rows: rows.order_by(Lower("name")),
    "values": lambda rows: rows.values("name"),
    "all values": lambda rows: rows.values(),
    "values_list": lambda rows: rows.values_list("name", flat=True),
    "annotate": lambda rows: rows.annotate(copy=F("name")),
    "aggregate": lambda rows: rows.aggregate(Max("name")),
    "distinct": lambda rows: rows.order_by("shelf").distinct("name"),
    "get_or_create": lambda rows: rows.get_or_create(name=MARKER),
}


@pytest.mark.parametrize("name", QUERIES)
def test_a_query_by_value_is_refused(row: Person, name: str) -> None:
    with pytest.raises(SealMisuse, match=r"vault_trial\.Person\.\w+ is sealed"):
        list(QUERIES[name](Person.objects.all()))


@pytest.mark.parametrize("name", ["person__name", "-person__name"])
def test_a_query_through_a_relation_is_refused(row: Person, name: str) -> None:
    with pytest.raises(SealMisuse):
        list(Remark.objects.order_by(name))
    with pytest.raises(SealMisuse):
        list(Remark.objects.filter(**{name.lstrip("-"): MARKER}))


def test_related_rows_open_as_well(row: Person, practice: UUID) -> None:
    Remark.objects.create(practice_id=practice, client_id=row.pk, person=row, text="one")
    remark = Remark.objects.select_related("person").get()
    assert remark.person is not None
    assert remark.person.name == MARKER


def test_a_dump_is_refused(row: Person) -> None:
    for form in ("json", "xml", "python"):
        with pytest.raises(SealMisuse):
            serializers.serialize(form, [row])


def test_a_form_leaves_the_field_out_and_its_failed_validation_keeps_the_value(
    row: Person, raw: RawColumn
) -> None:
    with pytest.raises(FieldError, match="non-editable"):
        forms.modelform_factory(Person, fields=["name"])
    form_class = forms.modelform_factory(Person, fields="__all__")
    before = raw(row, "name")
    form = form_class({"shelf": "x" * 30}, instance=Person.objects.get(pk=row.pk))
    assert not form.is_valid()
    assert MARKER not in form.as_p()
    assert "name" not in form.fields
    assert raw(row, "name") == before
    assert Person.objects.get(pk=row.pk).name == MARKER


def test_validation_of_the_row_leaves_values_as_they_are(row: Person) -> None:
    """Django's own binary field reads a string as base64 here."""
    found = Person.objects.get(pk=row.pk)
    found.name = "QUJD"
    found.full_clean(exclude=["number", "shelf"])
    found.save()
    assert Person.objects.get(pk=row.pk).name == "QUJD"


def test_a_field_sealed_in_place_raises_instead_of_reading_what_was_there(
    practice: UUID, raw: RawColumn
) -> None:
    """A migration that turns an integer into text in the same column."""
    row = Person.objects.create(practice_id=practice, name=MARKER, age=85)
    put(row, "age", raw(row, "name"))
    with pytest.raises(SealBroken):
        _ = Person.objects.get(pk=row.pk).age
    age = Person._meta.get_field("age")
    assert isinstance(age, SealedField)
    row.save()
    sealed = raw(row, "age")
    assert open_value(age.place(row), sealed) == 85
    as_text = SealedField(str)
    as_text.set_attributes_from_name("age")
    as_text.model = Person
    with pytest.raises(SealBroken):
        open_value(as_text.place(row), sealed)


def test_a_model_that_does_not_say_whom_it_is_about_is_found_by_the_checks() -> None:
    class Stray(models.Model):
        name = SealedField(str, db_index=True)

        class Meta:
            app_label = "vault_trial_stray"

    found = {message.id for message in Stray._meta.get_field("name").check()}
    assert {"vault.E001", "vault.E002"} <= found
    with pytest.raises(SealMisuse, match="SealedModel"):
        Stray._meta.get_field("name").pre_save(Stray(pk=1, name="x"), add=True)


def test_a_column_cannot_be_added_with_a_plain_default(row: Person) -> None:
    field = SealedField(str, default="unsealed")
    field.set_attributes_from_name("added")
    field.model = Person
    editor = connection.SchemaEditorClass(connection, collect_sql=True)
    with pytest.raises(SealMisuse):
        editor.effective_default(field)
