"""Apps of protocol 1 deliver as they always did (invariant 14 of docs/sync.md).

Check: what the server answered before protocol 2, frozen in protocol_1.json.
"""

import json
from datetime import datetime
from typing import Any

import pytest

from heelwright import clock
from heelwright.commandlog import registry
from tests.commands.examples import EXAMPLES
from tests.sync.http import told
from tests.sync.old_apps.frozen import Json, OldApps, frozen
from tests.sync.old_apps.widening import narrowed

PROTOCOL_1 = frozen("protocol_1")
# Apps of protocol 1 know no others; every later command is in the examples of today.
OLD_COMMANDS = sorted(PROTOCOL_1["arguments"])


def sent(command: Json) -> str:
    return f"{command['seq']} {command['name']}"


@pytest.fixture
def apps(db: None, monkeypatch: pytest.MonkeyPatch) -> OldApps:
    """On the day when it was all sent: a screen of years ago is judged otherwise."""
    now = datetime.fromisoformat(PROTOCOL_1["now"])
    monkeypatch.setattr(clock, "now", lambda: now)
    return OldApps(now)


def test_all_that_they_sent_is_taken_as_it_was_then(apps: OldApps) -> None:
    applied: set[str] = set()
    for event, answer in apps.replay(PROTOCOL_1["events"]):
        for command, then, result in zip(
            event["commands"], event["answers"], answer["results"], strict=True
        ):
            code = result["refusal"]["code"] if result["refusal"] else None
            assert (result["status"], code) == (then["status"], then["code"]), sent(command)
            applied |= {command["name"]} if result["status"] == "applied" else set()
        assert answer["next_seq"] == event["commands"][-1]["seq"] + 1
    assert sorted(applied) == OLD_COMMANDS


def test_sent_again_it_is_what_it_was(apps: OldApps) -> None:
    deliveries = list(apps.replay(PROTOCOL_1["events"]))
    again = apps.replay([event for event, _ in deliveries if active(event)])
    first = {result["id"]: result for _, answer in deliveries for result in answer["results"]}
    for _, answer in again:
        for result in answer["results"]:
            assert result["status"] == "already_applied"
            assert result | {"status": first[result["id"]]["status"]} == first[result["id"]]


def active(event: Json) -> bool:
    """Not of the phone that is shut out at the end."""
    revoked = [
        command["args"]["device"]
        for other in PROTOCOL_1["events"]
        for command in other.get("commands", [])
        if command["name"] == "revoke_device"
    ]
    return event["push"] not in revoked


def test_what_they_would_fetch_they_are_told_to_update_for(apps: OldApps) -> None:
    deliveries = list(apps.replay(PROTOCOL_1["events"]))
    for device in {event["push"] for event, _ in deliveries if active(event)}:
        wire = apps.wires[device]
        response = wire.post("/api/pull", {"device": device, "cursor": None})
        assert (response.status_code, told(response)["code"]) == (426, "app_out_of_date")


def test_every_command_of_then_is_frozen() -> None:
    names = {c["name"] for event in PROTOCOL_1["events"] for c in event.get("commands", [])}
    assert set(OLD_COMMANDS) <= names
    assert set(OLD_COMMANDS) <= set(EXAMPLES)


@pytest.mark.parametrize("name", OLD_COMMANDS)
def test_arguments_only_widen(name: str) -> None:
    """What was right to send then is so today: no field is gone, needed anew, or narrower."""
    today = registry.commands()[name].args.model_json_schema()
    assert narrowed(PROTOCOL_1["arguments"][name], today) == []


NARROWER: dict[str, Any] = {
    "a field is gone": {"properties": {"a": {"type": "string"}}},
    "a field is needed": {"required": ["a", "b"]},
    "a choice is gone": {"properties": {"a": {"type": "string"}, "b": {"enum": ["x"]}}},
    "a line is shorter": {"properties": {"a": {"type": "string", "maxLength": 3}, "b": {}}},
    "another type": {"properties": {"a": {"type": "integer"}, "b": {}}},
}


@pytest.mark.parametrize("how", NARROWER)
def test_what_narrows_is_found(how: str) -> None:
    then = {
        "type": "object",
        "properties": {"a": {"type": "string", "maxLength": 9}, "b": {"enum": ["x", "y"]}},
        "required": ["a"],
    }
    assert narrowed(then, then) == []
    assert narrowed(then, {**json.loads(json.dumps(then)), **NARROWER[how]})
