"""How PostgreSQL carries a query out: the nodes of its plan, and the blocks that it touches."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any

from tests.bench.cost import Statement
from tests.system.device import Json


@dataclass(frozen=True)
class Plan:
    """`nodes` are the scans of a query, with the table or index each reads."""

    nodes: tuple[str, ...]
    blocks: int


def plans_of(statements: Iterable[Statement]) -> list[Plan]:
    """Of each SELECT, run once more."""
    return [_explained(*one) for one in statements if one[0].startswith("SELECT")]


def _explained(query: str, values: Any) -> Plan:
    from django.db import connection

    with connection.cursor() as sql:
        sql.execute(f"EXPLAIN (ANALYZE, BUFFERS, FORMAT JSON) {query}", values)
        ((found,),) = sql.fetchall()
    top = found[0]["Plan"]
    blocks = top["Shared Hit Blocks"] + top["Shared Read Blocks"]
    return Plan(tuple(_scans(top)), blocks)


def _scans(node: Json) -> Iterator[str]:
    if "Scan" in node["Node Type"]:
        read = node.get("Index Name") or node.get("Relation Name") or node.get("CTE Name")
        yield f"{node['Node Type']} {read}"
    for below in node.get("Plans", ()):
        yield from _scans(below)
