"""Somebody with the database in hand, and without the keys: what they change is found."""

from collections.abc import Callable
from datetime import timedelta, timezone
from typing import Any
from uuid import UUID

import pytest
from django.db import connection

from heelwright import evidence, vault
from heelwright.commandlog.models import CommandRecord, LoggedArgs
from heelwright.intake.models import HealthScreen
from heelwright.people.models import Client
from tests.factories import REFERRED
from tests.sync.phone_model import fresh
from tests.world import Hand, World


def faults(world: World) -> set[str]:
    return {fault.code for fault in evidence.verify(world.practice.pk).faults}


def a_refused_start(hand: Hand, client: str) -> CommandRecord:
    start = hand.ready(client, health=REFERRED)
    assert hand.no("start_visit", start) == "referral_unanswered"
    return CommandRecord.objects.get(device=hand.device, seq=hand.seq)


def as_if_applied(record: CommandRecord) -> None:
    CommandRecord.objects.filter(pk=record.pk).update(
        receipt={**record.receipt, "status": "applied", "refusal": None}
    )


def by_somebody_else(record: CommandRecord) -> None:
    owner = CommandRecord.objects.exclude(staff=record.staff).values("staff")[:1]
    CommandRecord.objects.filter(pk=record.pk).update(staff=owner)


def other_arguments(record: CommandRecord) -> None:
    """Sealed bytes of another command: genuine, and in the wrong place."""
    table = LoggedArgs._meta.db_table
    with connection.cursor() as sql:
        sql.execute(
            f"UPDATE {table} SET sealed = "
            f"(SELECT sealed FROM {table} WHERE command_id <> %s LIMIT 1) WHERE command_id = %s",
            [_key(record.pk), _key(record.pk)],
        )


def _key(id_: UUID) -> str:
    return id_.hex if connection.vendor == "sqlite" else str(id_)


def no_arguments(record: CommandRecord) -> None:
    LoggedArgs.objects.filter(command=record).delete()


@pytest.mark.parametrize("change", [as_if_applied, by_somebody_else, other_arguments, no_arguments])
def test_a_command_that_was_changed(world: World, change: Callable[[Any], None]) -> None:
    record = a_refused_start(world.technician, world.client)
    assert faults(world) == set()
    change(record)
    assert faults(world) == {"row_differs"}


def test_a_command_that_was_taken_out(world: World) -> None:
    a_refused_start(world.technician, world.client).delete()
    assert faults(world) == {"row_missing"}


def test_a_command_that_was_put_in(world: World) -> None:
    record = a_refused_start(world.technician, world.client)
    record.pk, record.seq = UUID(int=7), record.seq + 1
    record.save(force_insert=True)
    assert faults(world) == {"row_unlinked"}


def test_the_times_of_a_phone_in_another_zone_stand(world: World) -> None:
    """A phone may send its own offset; the database keeps UTC."""
    hand = world.technician
    hand.now = hand.now.astimezone(timezone(timedelta(hours=5, minutes=45)))
    hand.screen(world.client)
    assert faults(world) == set()


def test_answers_moved_from_one_screen_to_another_do_not_open(world: World) -> None:
    """The bad answers of one client behind the good ones of another, or the other way round."""
    hand = world.technician
    bad, good = hand.screen(world.client, REFERRED), hand.screen(world.resident)
    table = HealthScreen._meta.db_table
    with connection.cursor() as sql:
        sql.execute(
            f"UPDATE {table} SET answers = (SELECT answers FROM {table} WHERE id = %s) "
            "WHERE id = %s",
            [_key(UUID(good)), _key(UUID(bad))],
        )
    with pytest.raises(vault.SealBroken):
        fresh(hand)
    assert Client.objects.get(pk=world.client).name
