"""What the server's side of the sync costs on one database; prints JSON, for `tests.bench`.

`python -m tests.bench.server sqlite` or `postgresql`: a process of its own, because Django knows
one database. On PostgreSQL the pull of ten changes is asked of a practice of ten thousand rows and
of one of a million in turns.
"""

import argparse
import json
import subprocess
import sys
import tempfile
from copy import deepcopy
from dataclasses import asdict, dataclass, replace
from pathlib import Path
from statistics import median

from heelwright.vault import keyfile
from tests.bench.cost import Cost, cost_of_pull, cost_of_push, counted, pull
from tests.bench.crowd import Crowd, crowd
from tests.bench.django_here import here, set_up_django, use_database
from tests.bench.grown import grow
from tests.bench.plans import Plan, plans_of
from tests.bench.practice import fill
from tests.services.postgres import Postgres
from tests.services.served import ServedApp
from tests.system.device import Device, Json, of_kind
from tests.system.practice import hire

RECORDS = 5000
ASSIGNED = 300
EDITS, DELIVERED_AT_ONCE, CHANGES = 500, 100, 10
PEOPLE = ("owner", "technician")
SIZES = {"rows_10000": 10_000, "rows_1000000": 1_000_000}
FIRSTS, IDLES, TURNS, PULLS_A_TURN = 5, 200, 10, 20


@dataclass(frozen=True)
class Practice:
    """`clients` are those whom the technician may see too."""

    owner: Device
    technician: Device
    clients: list[str]

    @property
    def people(self) -> dict[str, Device]:
        return dict(zip(PEOPLE, (self.owner, self.technician), strict=True))


@dataclass(frozen=True)
class Grown:
    """A pull of ten changes by one person in a practice of one size."""

    cost: Cost
    plans: list[Plan]

    @property
    def blocks(self) -> int:
        return sum(plan.blocks for plan in self.plans)

    @property
    def server(self) -> float:
        return self.cost.milliseconds

    @property
    def database(self) -> float:
        return self.cost.database_milliseconds

    @property
    def both(self) -> float:
        return self.server + self.database


@dataclass(frozen=True)
class Served:
    """All that was measured on one database; `grown` by person, then by size."""

    costs: dict[str, Cost]
    crowd: dict[str, Crowd]
    grown: dict[str, dict[str, Grown]]


def in_its_own_process(database: str) -> Served:
    """Django knows one database in a process."""
    command = [sys.executable, "-m", "tests.bench.server", database]
    found = json.loads(subprocess.run(command, stdout=subprocess.PIPE, check=True).stdout)
    return Served(
        {name: Cost(**cost) for name, cost in found["costs"].items()},
        {name: Crowd(**crowd) for name, crowd in found["crowd"].items()},
        {
            who: {size: _read(grown) for size, grown in sizes.items()}
            for who, sizes in found["grown"].items()
        },
    )


def _read(grown: Json) -> Grown:
    plans = [Plan(tuple(plan["nodes"]), plan["blocks"]) for plan in grown["plans"]]
    return Grown(Cost(**grown["cost"]), plans)


def on_sqlite(folder: Path) -> Served:
    with ServedApp(folder, f"sqlite:///{folder / 'bench.sqlite3'}", folder / "keys.json") as app:
        practice = furnished(app)
        set_up_django(app)
        return Served(costs(practice), crowd(app, practice.people.values(), practice.clients), {})


def on_postgres(folder: Path) -> Served:
    with Postgres() as postgres:
        url = postgres.create_database("bench")
        with ServedApp(folder, url, folder / "keys.json") as app:
            practice = furnished(app)
            copied = {size: deepcopy(practice) for size in SIZES}
            app.stop()
            for name, rows in SIZES.items():
                grow(postgres.copy_database("bench", name), rows)
            app.start()
            set_up_django(app)
            counted = costs(practice)
            crowded = crowd(app, practice.people.values(), practice.clients, postgres)
        return Served(counted, crowded, grown(copied))


def furnished(app: ServedApp) -> Practice:
    """Five thousand records by commands, and a technician who has some of the clients."""
    owner = fill(app, "owner@practice.test", RECORDS)
    technician = hire(app, owner, "technician@practice.test")
    clients = list(of_kind(owner.pull(), "client"))[:ASSIGNED]
    for client in clients:
        owner.must("assign_client", client=client, staff=technician.staff)
    return Practice(owner, technician, clients)


def costs(practice: Practice) -> dict[str, Cost]:
    found: dict[str, Cost] = {}
    for who, device in practice.people.items():
        found[f"first sync, {who}"] = cost_of_pull(device, None, FIRSTS)
        found[f"idle pull, {who}"] = cost_of_pull(device, here(), IDLES)
    edits = notes(practice.owner, practice.clients, EDITS)
    batches = [edits[at : at + DELIVERED_AT_ONCE] for at in range(0, EDITS, DELIVERED_AT_ONCE)]
    found[f"push of {EDITS} commands, owner"] = cost_of_push(practice.owner, batches)
    before = changed(practice)
    for who, device in practice.people.items():
        found[f"pull of {CHANGES} changes, {who}"] = cost_of_pull(device, before, IDLES)
    return found


def grown(practices: dict[str, Practice]) -> dict[str, dict[str, Grown]]:
    """Both sizes in turns, so that a slow minute is slow for both."""
    before = {}
    for size, practice in practices.items():
        use_database(size)
        before[size] = changed(practice)
    people = {who: {size: one.people[who] for size, one in practices.items()} for who in PEOPLE}
    return {who: _in_turns(devices, before) for who, devices in people.items()}


def _in_turns(devices: dict[str, Device], before: dict[str, str]) -> dict[str, Grown]:
    turns: dict[str, list[Cost]] = {size: [] for size in devices}
    for _ in range(TURNS):
        for size, device in devices.items():
            use_database(size)
            pull(device, before[size])
            turns[size].append(cost_of_pull(device, before[size], PULLS_A_TURN))
    return {size: _grown(size, devices[size], before[size], turns[size]) for size in turns}


def _grown(size: str, device: Device, before: str, costs: list[Cost]) -> Grown:
    use_database(size)
    _, sent = counted(lambda: pull(device, before))
    whole = replace(
        costs[0],
        milliseconds=median(cost.milliseconds for cost in costs),
        database_milliseconds=median(cost.database_milliseconds for cost in costs),
    )
    return Grown(whole, plans_of(sent))


def changed(practice: Practice) -> str:
    """The owner writes on ten cards; returns the cursor from before."""
    before = here()
    cost_of_push(practice.owner, [notes(practice.owner, practice.clients, CHANGES)])
    return before


def notes(device: Device, clients: list[str], count: int) -> list[Json]:
    """So many cards amended, one after the other, and round again."""
    return [
        device.command(
            "amend_client",
            client=clients[number % len(clients)],
            seen=2**40,
            changes={"note": f"Edit {number}: rings twice, key under the third pot."},
        )
        for number in range(count)
    ]


def main() -> None:
    asked = argparse.ArgumentParser()
    asked.add_argument("database", choices=["sqlite", "postgresql"])
    given = asked.parse_args()
    with tempfile.TemporaryDirectory(prefix="heelwright-bench-") as name:
        folder = Path(name)
        keyfile.make(folder / "keys.json")
        served = on_sqlite(folder) if given.database == "sqlite" else on_postgres(folder)
    json.dump(asdict(served), sys.stdout)


if __name__ == "__main__":
    main()
