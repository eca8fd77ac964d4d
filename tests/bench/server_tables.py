"""The tables of what the sync costs the server."""

from collections.abc import Iterator, Mapping

from tests.bench.crowd import AT_ONCE, DEVICES
from tests.bench.report import table
from tests.bench.server import CHANGES, SIZES, Grown, Served

DATABASES = {"sqlite": "SQLite", "postgresql": "PostgreSQL"}


def costs(served: Mapping[str, Served]) -> str:
    """Statements differ between the databases only by what PostgreSQL is told about snapshots."""
    head = ["on the server", "rows", "requests"]
    for name in DATABASES.values():
        head += [f"statements, {name}", f"ms of processor, {name}"]
    head += ["bytes", "packed"]
    one, *_ = served.values()
    rows = []
    for operation, found in one.costs.items():
        cells = [operation, str(found.rows), str(found.requests)]
        for database in DATABASES:
            cost = served[database].costs[operation]
            both = cost.milliseconds + cost.database_milliseconds
            cells += [str(cost.statements), f"{both:.1f}"]
        rows.append([*cells, f"{found.size:,}", f"{found.packed:,}"])
    return table(head, rows)


def grown(by_person: Mapping[str, Mapping[str, Grown]]) -> str:
    rows = []
    for who, sizes in by_person.items():
        few, many = sizes.values()
        rows += [
            [who, "statements", str(few.cost.statements), str(many.cost.statements), ""],
            [who, "blocks touched", *_both(few.blocks, many.blocks, 0)],
            [who, "ms of the server's processor", *_both(few.server, many.server, 2)],
            [who, "ms of the database's processor", *_both(few.database, many.database, 2)],
            [who, "ms of both", *_both(few.both, many.both, 2)],
        ]
    heads = [f"{count:,} rows" for count in SIZES.values()]
    return table([f"pull of {CHANGES} changes, PostgreSQL", "", *heads, "ratio"], rows)


def _both(few: float, many: float, digits: int) -> list[str]:
    return [f"{few:.{digits}f}", f"{many:.{digits}f}", f"{many / few:.2f}"]


def plans(by_person: Mapping[str, Mapping[str, Grown]]) -> str:
    """What each query of that pull reads, in the practice of many rows."""
    rows = [
        [who, str(number), node]
        for who, sizes in by_person.items()
        for number, node in _nodes(list(sizes.values())[-1])
    ]
    return table(["person", "query", "reads by"], rows)


def _nodes(found: Grown) -> Iterator[tuple[int, str]]:
    for number, plan in enumerate(found.plans, start=1):
        yield number, "; ".join(plan.nodes) or "nothing"


def crowds(served: Mapping[str, Served]) -> str:
    rows = [
        [
            DATABASES[database],
            what,
            f"{found.requests_a_second:.0f}",
            f"{found.middle:.0f}",
            f"{found.slowest_twentieth:.0f}",
            str(found.again),
            f"{found.server:.1f}",
            f"{found.database:.1f}" if found.database else "in the server's",
        ]
        for database, one in served.items()
        for what, found in one.crowd.items()
    ]
    head = [f"{DEVICES} phones of one practice, {AT_ONCE} at once", "each", "requests a second"]
    head += [
        "p50, ms",
        "p95, ms",
        "told to come again",
        "ms of the server's processor",
        "ms of the database's",
    ]
    return table(head, rows)
