"""The permission table against what the areas have declared: nothing missing, nothing made up."""

import pytest

from heelwright.commandlog import permissions, registry
from heelwright.declarations import Role

ROLES = {role.value for role in Role}
HEALTH = {"health_screen", "foot_check", "referral", "clearance", "visit", "mishap", "incident"}


def test_every_command_is_in_the_table_and_no_other() -> None:
    assert set(permissions.table()["commands"]) == set(registry.commands())


def test_every_kind_of_row_is_in_the_table_and_no_other() -> None:
    assert set(permissions.table()["rows"]) == set(registry.kinds())


def test_it_has_two_parts() -> None:
    assert set(permissions.table()) == {"commands", "rows"}


@pytest.mark.parametrize("name", sorted(registry.commands()))
def test_a_command_names_known_roles_and_fields(name: str) -> None:
    known = set(registry.commands()[name].args.model_fields)
    _check(permissions.table()["commands"][name], known)


@pytest.mark.parametrize("kind", sorted(registry.kinds()))
def test_a_row_names_known_roles_and_fields(kind: str) -> None:
    known = set(registry.kinds()[kind].row.model_fields)
    _check(permissions.table()["rows"][kind], known)


def _check(roles: permissions.Table | object, known: set[str]) -> None:
    assert isinstance(roles, dict)
    assert roles
    assert set(roles) <= ROLES
    for fields in roles.values():
        assert fields == "all" or (isinstance(fields, list) and fields and set(fields) <= known)


@pytest.mark.parametrize("name", sorted(registry.commands()))
def test_a_role_with_part_of_a_command_has_all_that_it_cannot_do_without(name: str) -> None:
    fields = registry.commands()[name].args.model_fields
    needed = {field for field, info in fields.items() if info.is_required()}
    for allowed in permissions.table()["commands"][name].values():
        assert allowed == "all" or needed <= set(allowed)


def test_the_owner_may_do_and_see_everything() -> None:
    for part in permissions.table().values():
        for entry in part.values():
            assert entry["owner"] == "all"


def test_a_coordinator_sees_nothing_of_health() -> None:
    for kind in HEALTH:
        assert not permissions.may_see(kind, Role.COORDINATOR)
    assert "note" not in (permissions.table()["rows"]["client"]["coordinator"])


def test_what_an_unknown_role_or_kind_sees_is_nothing() -> None:
    assert permissions.visible("no_such_kind", Role.OWNER, {"a": 1}) is None
    assert permissions.visible("health_screen", Role.COORDINATOR, {"answers": {}}) is None
    assert permissions.visible("consent", Role.COORDINATOR, {"client": 1, "reason": 2}) == {
        "client": 1
    }
