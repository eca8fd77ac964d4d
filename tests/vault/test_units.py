"""Data keys within one piece of work: few queries, nothing kept, nothing lost."""

import threading
from uuid import UUID

import pytest
from django.db import connection, transaction
from pytest_django import DjangoAssertNumQueries

from heelwright import vault
from heelwright.ids import new_id
from heelwright.vault import units
from heelwright.vault.errors import SealBroken, SubjectShredded
from heelwright.vault.models import DataKey, Shredded
from tests.vault.refusals import refused
from tests.vault.trial_models import Person, Remark

pytestmark = pytest.mark.django_db


def remarks(practice: UUID, clients: int, each: int) -> list[UUID]:
    subjects = [new_id() for _ in range(clients)]
    for subject in subjects:
        for n in range(each):
            Remark.objects.create(practice_id=practice, client_id=subject, text=f"{n}")
    return subjects


def test_many_rows_of_many_clients_cost_one_query_more(
    practice: UUID, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    subjects = remarks(practice, clients=5, each=4)
    with vault.unit(), django_assert_num_queries(2):
        rows = list(Remark.objects.filter(practice_id=practice))
        vault.prefetch(row.seal_subject() for row in rows)
        assert len({row.text for row in rows}) == 4
        vault.prefetch(subjects)


def test_without_prefetch_a_unit_asks_once_for_each_client(
    practice: UUID, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    remarks(practice, clients=3, each=4)
    rows = list(Remark.objects.filter(practice_id=practice))
    with vault.unit(), django_assert_num_queries(3):
        assert {row.text for row in rows} == {"0", "1", "2", "3"}


def test_outside_a_unit_it_works_key_by_key(
    practice: UUID, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    remarks(practice, clients=1, each=3)
    rows = list(Remark.objects.filter(practice_id=practice))
    with django_assert_num_queries(3):
        assert {row.text for row in rows} == {"0", "1", "2"}
    with pytest.raises(RuntimeError, match=r"vault\.unit"):
        vault.prefetch([practice])


def test_keys_end_with_the_unit_also_when_it_fails(practice: UUID) -> None:
    with pytest.raises(ZeroDivisionError), vault.unit():
        remarks(practice, clients=1, each=1)
        _ = 1 / 0
    assert units.current() is None


def test_a_unit_inside_a_unit_is_the_same_one() -> None:
    with vault.unit():
        outer = units.current()
        with vault.unit():
            assert units.current() is outer
        assert units.current() is outer


def test_another_thread_sees_none_of_it() -> None:
    seen: list[object] = []
    with vault.unit():
        thread = threading.Thread(target=lambda: seen.append(units.current()))
        thread.start()
        thread.join()
    assert seen == [None]


def test_a_new_clients_first_values_ask_for_its_key_once(practice: UUID) -> None:
    with vault.unit():
        Remark.objects.create(practice_id=practice, client_id=(client := new_id()), text="one")
        before = len(connection.queries_log)
        connection.force_debug_cursor = True
        try:
            Remark.objects.create(practice_id=practice, client_id=client, text="2", other="3")
        finally:
            connection.force_debug_cursor = False
        asked = [str(q["sql"]) for q in list(connection.queries_log)[before:]]
    assert not any("vault_datakey" in sql for sql in asked)


@pytest.mark.django_db(transaction=True)
@pytest.mark.parametrize("savepoint", [True, False])
def test_a_key_made_in_a_rolled_back_transaction_seals_nothing_afterwards(
    practice: UUID, savepoint: bool
) -> None:
    """A refused command makes a client's key and is rolled back; the next command seals for it."""
    client = new_id()

    def refuse() -> None:
        with pytest.raises(ZeroDivisionError), transaction.atomic():
            Remark.objects.create(practice_id=practice, client_id=client, text="one")
            _ = 1 / 0

    with vault.unit():
        if savepoint:
            with transaction.atomic():
                refuse()
                assert not DataKey.objects.filter(subject=client).exists()
                row = Remark.objects.create(practice_id=practice, client_id=client, text="two")
        else:
            refuse()
            row = Remark.objects.create(practice_id=practice, client_id=client, text="two")
        assert Remark.objects.get(pk=row.pk).text == "two"
    assert Remark.objects.get(pk=row.pk).text == "two"


@pytest.mark.django_db(transaction=True)
def test_a_key_made_in_a_released_savepoint_goes_with_the_transaction_around_it(
    practice: UUID,
) -> None:
    client = new_id()
    with vault.unit():
        with pytest.raises(ZeroDivisionError), transaction.atomic():
            with transaction.atomic():
                Remark.objects.create(practice_id=practice, client_id=client, text="one")
            Remark.objects.create(practice_id=practice, client_id=client, text="two")
            _ = 1 / 0
        row = Remark.objects.create(practice_id=practice, client_id=client, text="three")
    assert Remark.objects.get(pk=row.pk).text == "three"


def test_shredding_leaves_nothing_to_open_and_no_new_key(practice: UUID) -> None:
    with vault.unit():
        gone = Person.objects.create(practice_id=practice, name="one")
        kept = Person.objects.create(practice_id=practice, name="two")
        vault.shred(gone.pk)
        for _ in range(2):
            with pytest.raises(SubjectShredded):
                _ = Person.objects.get(pk=gone.pk).name
        assert Person.objects.get(pk=kept.pk).name == "two"
        with refused(SubjectShredded):
            Remark.objects.create(practice_id=practice, client_id=gone.pk, text="three")
    assert not DataKey.objects.filter(subject=gone.pk).exists()
    assert Shredded.objects.filter(subject=gone.pk).exists()


def test_shredding_twice_or_before_the_first_value_is_the_same(practice: UUID) -> None:
    client = new_id()
    vault.shred(client)
    vault.shred(client)
    assert Shredded.objects.filter(subject=client).count() == 1
    with refused(SubjectShredded):
        Remark.objects.create(practice_id=practice, client_id=client, text="one")
    assert not DataKey.objects.exists()


def test_a_subject_of_another_practice_is_refused(practice: UUID) -> None:
    row = Person.objects.create(practice_id=practice, name="one")
    with refused(SealBroken, match="another practice"):
        Remark.objects.create(practice_id=new_id(), client_id=row.pk, text="two")


def test_a_wrapped_key_given_to_another_subject_does_not_open(practice: UUID) -> None:
    one = Person.objects.create(practice_id=practice, name="one")
    two = Person.objects.create(practice_id=practice, name="two")
    taken = DataKey.objects.get(subject=one.pk).wrapped
    DataKey.objects.filter(subject=two.pk).update(wrapped=taken)
    with pytest.raises(SealBroken):
        _ = Person.objects.get(pk=two.pk).name
