"""Values to bytes and back, strictly: what goes in comes out the same, or is refused."""

import json
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from typing import Any

from heelwright.vault.errors import SealBroken, UnsealableValue
from heelwright.vault.place import Kind


@dataclass(frozen=True, slots=True)
class _Form:
    type: type
    write: Callable[[Any], bytes]
    read: Callable[[bytes], Any]


def _write_json(value: Any) -> bytes:
    text = json.dumps(value, allow_nan=False, separators=(",", ":"))
    if json.loads(text) != value:
        raise ValueError  # Tuples, numbers as keys: they would come back as something else.
    return text.encode()


def _read_flag(stored: bytes) -> bool:
    return {b"0": False, b"1": True}[stored]


# Lone surrogates pass, so that a mistyped note is kept rather than lost on the way to its refusal.
_FORMS = {
    Kind.TEXT: _Form(
        str,
        lambda value: value.encode("utf-8", "surrogatepass"),
        lambda stored: stored.decode("utf-8", "surrogatepass"),
    ),
    Kind.DATE: _Form(
        date,
        lambda value: value.isoformat().encode(),
        lambda stored: date.fromisoformat(stored.decode()),
    ),
    Kind.INTEGER: _Form(int, lambda value: str(value).encode(), int),
    Kind.FLAG: _Form(bool, lambda value: b"1" if value else b"0", _read_flag),
    Kind.MAPPING: _Form(dict, _write_json, json.loads),
    Kind.LIST: _Form(list, _write_json, json.loads),
    Kind.BYTES: _Form(bytes, bytes, bytes),
}

KIND_OF: dict[type, Kind] = {form.type: kind for kind, form in _FORMS.items()}


def to_bytes(kind: Kind, value: Any) -> bytes:
    """Exactly the kind's type: a bool is not an int here, nor a datetime a date."""
    form = _FORMS[kind]
    if type(value) is not form.type:
        raise UnsealableValue(f"expected {form.type.__name__}, got {type(value).__name__}")
    try:
        return form.write(value)
    except (TypeError, ValueError, RecursionError):
        raise UnsealableValue(f"this {form.type.__name__} would not come back the same") from None


def from_bytes(kind: Kind, stored: bytes) -> Any:
    form = _FORMS[kind]
    try:
        value = form.read(stored)
    except (KeyError, ValueError, RecursionError):
        raise SealBroken(f"the value opened but is no {form.type.__name__}") from None
    if type(value) is not form.type:
        raise SealBroken(f"the value opened but is no {form.type.__name__}")
    return value
