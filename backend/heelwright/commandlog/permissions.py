"""The one table of who may do and see what; code, tests and docs read it.

`permissions.yaml` lists, for each command and for each kind of row, the fields each role may set or
see: `all`, or a list of names. A role that is not named may nothing.
"""

from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Any

import yaml

from heelwright.declarations import Refused, Role

Fields = str | list[str]
Table = Mapping[str, Mapping[str, Fields]]


@cache
def table() -> dict[str, Table]:
    """{"commands": {name: {role: fields}}, "rows": {kind: {role: fields}}}"""
    loaded: dict[str, Table] = yaml.safe_load(
        (Path(__file__).parent / "permissions.yaml").read_text()
    )
    return loaded


def _fields(part: str, name: str, role: Role) -> Fields | None:
    return table()[part].get(name, {}).get(role.value)


def check_command(name: str, role: Role, args: Mapping[str, Any], within: str = "") -> None:
    """Raise Refused unless this role may send this command with these fields.

    `within` is where the fields lie, such as `changes.`.
    """
    allowed = _fields("commands", name, role)
    if allowed is None:
        raise Refused(
            "not_allowed", "Your role can't do this.", "Ask the person who runs your practice."
        )
    if allowed == "all":
        return
    for field in args:
        if field not in allowed:
            raise Refused(
                "field_not_allowed",
                "Your role can't fill in this field.",
                "Leave the field empty, or ask the person who runs your practice.",
                field=within + field,
            )


def may_see(kind: str, role: Role) -> bool:
    return _fields("rows", kind, role) is not None


def visible(kind: str, role: Role, row: dict[str, Any]) -> dict[str, Any] | None:
    """The part of a row that a role may see, or None where it may see nothing of that kind."""
    allowed = _fields("rows", kind, role)
    if allowed is None:
        return None
    if allowed == "all":
        return row
    return {name: value for name, value in row.items() if name in allowed}
