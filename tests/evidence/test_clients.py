"""Each client's evidence, in a chain of its own.

Check: our own rule. The signature and the seal are checked against published vectors in
tests/standards/test_crypto_vectors.py.
"""

import random
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from importlib import import_module
from io import StringIO
from typing import Any
from uuid import UUID

import pytest
from django.apps import apps
from django.core.management import CommandError, call_command
from django.db import DataError, IntegrityError, connection, models, transaction

from heelwright import evidence, vault
from heelwright.evidence.models import ChainHead, Link
from heelwright.ids import new_id
from heelwright.intake.evidence_record import EvidenceRecord
from heelwright.intake.models import Consent, ConsentSheet, ConsentWithdrawal, NotReady
from heelwright.vault.fields import SealedField
from tests.factories import decision, sheet_args
from tests.run_length import runs
from tests.world import World

CHANGES = runs(short=300, long=10_000)


@pytest.fixture
def client(world: World) -> UUID:
    """One with a row of several kinds: two sheets, a screen, a foot check, a consent taken back."""
    hand = world.technician
    start = hand.ready(world.client)
    hand.do("withdraw_consent", {"consent": start["consent"], "withdrawn_at": hand.stamp()})
    no = {"decisions": [decision("foot_care", agreed=False)], "how": "unsigned", "strokes": []}
    for more in ({}, no):
        hand.do(
            "record_consent_sheet",
            sheet_args(client=world.client, decided_at=hand.stamp(), **more),
        )
        hand.later(minutes=1)
    return UUID(world.client)


def kinds(client: UUID) -> Counter[str]:
    return Counter(Link.objects.filter(chain=client).values_list("what", flat=True))


def test_each_record_has_a_link_in_the_chain_of_its_client(client: UUID) -> None:
    wanted = {"healthscreen": 1, "footcheck": 1, "consent": 4, "consentsheet": 2,
              "consentwithdrawal": 1}  # fmt: skip
    assert kinds(client) == wanted
    assert evidence.verify(client).stands


def test_every_record_of_this_area_is_evidence() -> None:
    of_intake = [model for model in apps.get_models() if model._meta.app_label == "intake"]
    # What a house is told of its residents is made anew from the records.
    assert [m for m in of_intake if not issubclass(m, EvidenceRecord)] == [NotReady]


def test_what_is_refused_leaves_no_link(world: World, client: UUID) -> None:
    before = kinds(client)
    again = sheet_args(client=world.client, decided_at=world.technician.stamp(), how="mark")
    assert world.technician.no("record_consent_sheet", again) == "no_witness"
    assert kinds(client) == before


def test_the_chain_needs_no_data_key(world: World, client: UUID) -> None:
    with vault.unit():
        vault.shred(client)
    assert evidence.verify(client).stands


def test_a_record_that_is_put_in_taken_out_or_left_without_its_chain_is_found(
    client: UUID,
) -> None:
    codes = {}
    for name in ("put in", "taken out", "no chain"):
        with transaction.atomic():
            _tamper(name, client)
            codes[name] = {fault.code for fault in evidence.verify(client).faults}
            with pytest.raises(CommandError, match="do not stand"):
                call_command("evidence", "verify", stdout=StringIO())
            transaction.set_rollback(True)
    assert codes == {
        "put in": {"row_unlinked"},
        "taken out": {"row_missing"},
        "no chain": {"row_unlinked"},
    }


def _tamper(name: str, client: UUID) -> None:
    if name == "put in":
        columns = [str(field.column) for field in ConsentWithdrawal._meta.concrete_fields]
        other = Consent.objects.filter(client=client, withdrawal=None)[0].pk
        put = {"id": new_id(), "consent_id": other}
        table, key = ConsentWithdrawal._meta.db_table, Consent._meta.pk
        values = [key.get_db_prep_value(put[name], connection) for name in columns if name in put]
        chosen = ", ".join("%s" if name in put else name for name in columns)
        with connection.cursor() as sql:
            sql.execute(
                f"INSERT INTO {table} ({', '.join(columns)}) SELECT {chosen} FROM {table}", values
            )
    if name == "taken out":
        ConsentWithdrawal.objects.filter(client=client).delete()
    if name == "no chain":
        Link.objects.filter(chain=client).delete()
        ChainHead.objects.filter(chain=client).delete()


def test_the_command_says_of_one_client_whether_the_chain_stands(client: UUID) -> None:
    call_command("evidence", "verify", "--client", str(client), stdout=(said := StringIO()))
    assert f"{client}: 9 links" in said.getvalue()
    assert "All 1 chains stand." in said.getvalue()
    Consent.objects.filter(client=client).update(agreed=False)
    with pytest.raises(CommandError, match="1 of 1 chains"):
        call_command("evidence", "verify", "--client", str(client), stdout=(said := StringIO()))
    assert "the record that it stands for was changed since" in said.getvalue()
    with pytest.raises(CommandError, match="no evidence about this client"):
        call_command("evidence", "verify", "--client", str(new_id()))


def test_records_of_before_there_were_chains_are_linked_by_the_update(client: UUID) -> None:
    before = kinds(client)
    for model in (Link, ChainHead):
        model._default_manager.filter(chain=client).delete()
    assert not evidence.verify(client).stands
    import_module("heelwright.intake.migrations.0009_link_older_evidence").link_all(apps, None)
    assert evidence.verify(client).stands
    assert kinds(client) == before


@dataclass(frozen=True)
class Cell:
    model: type[models.Model]
    key: Any
    field: Any


def cells(client: UUID) -> Iterator[Cell]:
    """Every stored column of the client's links, head, sheets, consents and withdrawals. The number
    that the database gives to a link's row says nothing and is left out."""
    for model, named in (
        (Link, "chain"), (ChainHead, "chain"),
        (Consent, "client"), (ConsentSheet, "client"), (ConsentWithdrawal, "client"),
    ):  # fmt: skip
        for row in model._default_manager.filter(**{named: client}):
            for field in model._meta.concrete_fields:
                if field.attname != "id" or model is not Link:
                    yield Cell(model, row.pk, field)


def stored(cell: Cell) -> Any:
    table, pk = cell.model._meta.db_table, cell.model._meta.pk
    with connection.cursor() as sql:
        sql.execute(
            f"SELECT {cell.field.column} FROM {table} WHERE {pk.column} = %s",
            [pk.get_db_prep_value(cell.key, connection)],
        )
        (value,) = sql.fetchone()
    if isinstance(cell.field, SealedField | models.BinaryField):
        return None if value is None else bytes(value)
    return _converted(cell.field, value)


def _converted(field: Any, value: Any) -> Any:
    for convert in connection.ops.get_db_converters(field.get_col(field.model._meta.db_table)):
        value = convert(value, field, connection)
    return field.to_python(value)


def other(value: Any, chance: random.Random) -> Any:
    """The value with one byte changed, as far as the database can hold it."""
    if isinstance(value, bool):
        return not value
    if isinstance(value, int):
        return value ^ (1 << chance.randrange(24))
    if isinstance(value, UUID):
        return UUID(bytes=_flipped(value.bytes, chance))
    if isinstance(value, datetime):
        return value + timedelta(microseconds=1 << chance.randrange(40))
    if isinstance(value, bytes):
        return _flipped(value, chance)
    place = chance.randrange(max(1, len(value)))
    letter = chance.choice([one for one in "0a9fZ_" if value[place : place + 1] != one])
    return value[:place] + letter + value[place + 1 :]


def _flipped(value: bytes, chance: random.Random) -> bytes:
    place = chance.randrange(len(value))
    changed = value[place] ^ chance.randrange(1, 256)
    return value[:place] + bytes([changed]) + value[place + 1 :]


def write(cell: Cell, value: Any) -> None:
    table, pk = cell.model._meta.db_table, cell.model._meta.pk
    sealed = isinstance(cell.field, SealedField | models.BinaryField)
    new = connection.Database.Binary(value) if sealed else cell.field.get_db_prep_save(  # type: ignore[attr-defined]
        value, connection
    )  # fmt: skip
    with connection.cursor() as sql:
        sql.execute(
            f"UPDATE {table} SET {cell.field.column} = %s WHERE {pk.column} = %s",
            [new, pk.get_db_prep_value(cell.key, connection)],
        )
        assert sql.rowcount == 1


def test_every_changed_byte_is_found(client: UUID) -> None:
    """Ten thousand in the long run. Each is made in the database, beside the application, and taken
    back; a change that the database itself refuses is made again elsewhere."""
    chance = random.Random(20261126)
    there = [cell for cell in cells(client) if stored(cell) is not None]
    tried: Counter[str] = Counter()
    missed: list[str] = []
    while tried.total() < CHANGES:
        # Each column once, then by chance.
        place = tried.total()
        cell = there[place] if place < len(there) else chance.choice(there)
        before = stored(cell)
        try:
            with transaction.atomic():
                write(cell, changed := other(before, chance))
                if evidence.verify(client).stands:
                    missed.append(f"{cell.model.__name__}.{cell.field.name} {before} {changed}")
                transaction.set_rollback(True)
        except (DataError, IntegrityError):
            continue
        tried[f"{cell.model.__name__}.{cell.field.name}"] += 1
    assert not missed
    assert len(tried) == len({(cell.model, cell.field.name) for cell in there})
    assert evidence.verify(client).stands
