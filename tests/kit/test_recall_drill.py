"""A recall in half a year: a check of the machine fails, and an indicator.

What comes out is held against a slow search by times and names, which knows nothing of steps that
follow each other. Source of "back to the last good spore test": MMWR 2003;52(RR-17), from a
secondary source. How the drill is set up: our own.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from random import Random
from time import perf_counter
from typing import Any
from uuid import UUID

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from heelwright import vault
from heelwright.commandlog.act import Act
from heelwright.commandlog.models import Incident
from heelwright.declarations import Power
from heelwright.ids import new_id
from heelwright.kit.arguments import UsedSet
from heelwright.kit.models import Load, MachineCheck, Use
from heelwright.kit.recall_list import recall_list
from heelwright.kit.uses import use_set
from heelwright.people.models import Client
from heelwright.tenancy.models import Device
from tests.kit.hands import KitHand, machine_card, set_card
from tests.run_length import runs
from tests.world import World

# What it asks the database for, tests/kit/test_called_back.py asks each.
pytestmark = [pytest.mark.django_db, pytest.mark.one_database]

CLIENTS, SETS, WEEKS = runs(120, 300), runs(16, 40), 26
ROUNDS_A_WEEK = runs(1, 3)
SPORE_TEST_EVERY = timedelta(days=7)


@dataclass(frozen=True)
class Cycled:
    machine: str
    load: str
    began: datetime
    sets: frozenset[str]


@dataclass(frozen=True)
class Used:
    client: str
    of: str
    at: datetime


class HalfAYear:
    """Two machines, each for half of the sets, and a spore test of each a week. What is done is
    told by the real commands, and written down here as a person would on paper."""

    def __init__(self, world: World) -> None:
        self.world, self.random = world, Random("heelwright recall")
        self.kit = KitHand(world.technician)
        self.hand = world.technician
        self.cycles: list[Cycled] = []
        self.uses: list[Used] = []
        self.tests: list[tuple[str, datetime]] = []
        self.clients = list(self._clients())
        self.machines = [self.kit.register(machine_card()) for _ in range(2)]
        self.sets = [self.kit.register(set_card(f"Set {n}")) for n in range(SETS)]
        for week in range(WEEKS):
            self._week(week)

    def _clients(self) -> Iterator[Client]:
        practice = self.world.practice
        for n in range(CLIENTS):
            client = Client(
                id=new_id(), practice=practice, name=f"Client {n:03}", born="1946-02-03"
            )
            client.save()
            yield client

    def _week(self, week: int) -> None:
        for machine in self.machines:
            self.hand.later(hours=1)
            if week != 14:
                self.kit.check(machine, passed=True)
                self.tests.append((machine, self.hand.now))
        for _ in range(ROUNDS_A_WEEK):
            for side, machine in enumerate(self.machines):
                waiting = self.sets[side::2]
                self.random.shuffle(waiting)
                for at in range(0, len(waiting), 10):
                    self._cycle(machine, waiting[at : at + 10])
            self.hand.later(days=1)
            for of in self.random.sample(self.sets, SETS):
                self.hand.later(minutes=30)
                self._use(of)
        self.hand.now = self.world.now + timedelta(days=7 * (week + 1))

    def _cycle(self, machine: str, sets: list[str]) -> None:
        self.hand.later(minutes=50)
        load = self.kit.through(machine, *sets)
        began = self.hand.now - timedelta(minutes=30)
        self.cycles.append(Cycled(machine, load, began, frozenset(sets)))

    def _use(self, of: str) -> None:
        client = self.random.choice(self.clients)
        used = UsedSet.model_validate(self.kit.used(of))
        act = self._act()
        use_set(act, client, new_id(), used)
        act.practice.save(update_fields=["feed_seq"])
        self.kit.waiting.clear()
        self.uses.append(Used(str(client.pk), of, self.hand.now))

    def _act(self) -> Act:
        hand, now = self.hand, self.hand.now
        self.world.practice.refresh_from_db()
        return Act(self.world.practice, hand.staff, hand.device, Power.REPORT, now, now)

    # The slow search.

    def reached(self, doubtful: set[str]) -> set[str]:
        """Each use, each cycle: was this the last one that the set went through before it?"""
        found = set()
        for use in self.uses:
            before = [one for one in self.cycles if use.of in one.sets and one.began < use.at]
            last = max(before, key=lambda one: one.began, default=None)
            if last is not None and last.load in doubtful:
                found.add(use.client)
        return found

    def doubtful(self, machine: str, failed_at: datetime) -> set[str]:
        tests = [at for tested, at in self.tests if tested == machine]
        last_good = max(at for at in tests if at < failed_at)
        next_good = min(at for at in tests if at > failed_at)
        return {
            one.load
            for one in self.cycles
            if one.machine == machine and last_good < one.began < next_good
        }


def listed(half: HalfAYear, row_id: UUID) -> tuple[set[str], dict[str, Any]]:
    device = Device.objects.select_related("practice", "staff").get(pk=half.world.owner.device.pk)
    with vault.unit():
        paper = recall_list(device, row_id)
    names = {client.name: str(client.pk) for client in half.clients}
    return {names[client["name"]] for client in paper["clients"]}, paper


def test_a_recall_lists_exactly_the_clients_whom_it_reached(
    world: World, record_property: Any, capsys: pytest.CaptureFixture[str]
) -> None:
    half = HalfAYear(world)
    assert not Use.objects.exclude(flags=[]).exists()
    machine, failed_at = half.machines[0], half.world.now + timedelta(days=7 * 14, hours=3)
    stamp = {"tested_at": failed_at.isoformat(), "read_at": failed_at.isoformat()}
    half.kit.check(machine, passed=False, **stamp)
    check = MachineCheck.objects.get(passed=False)

    expected = half.reached(half.doubtful(machine, failed_at))
    with CaptureQueriesContext(
        connection,
    ) as asked:
        began = perf_counter()
        found, paper = listed(half, check.pk)
        took = perf_counter() - began
    assert found == expected
    # Neither nobody nor everybody, or the drill would show nothing.
    assert 10 < len(expected) < CLIENTS / 2
    assert len(paper["cycles"]) == len(half.doubtful(machine, failed_at))
    assert Incident.objects.get(code="machine_failed").about_id == check.pk

    # An indicator that failed pulls back its own cycle alone.
    bad = half.cycles[len(half.cycles) // 3]
    half.kit.end(bad.load, indicator="failed")
    half.kit.send()
    of_one, _ = listed(half, UUID(bad.load))
    assert of_one == half.reached({bad.load})
    assert Incident.objects.get(code="cycle_failed").about_id == UUID(bad.load)

    with capsys.disabled():
        print(
            f"\nrecall of {len(half.uses)} uses in {len(half.cycles)} cycles: {len(expected)} of"
            f" {CLIENTS} clients in {took * 1000:.0f} ms and {len(asked)} statements"
        )
    # As many for half a year as for a day, and for each client no more than opening their card.
    assert len(asked) <= 12 + 2 * len(expected)
    assert Load.objects.count() == len(half.cycles)
