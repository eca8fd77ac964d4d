"""The envelope that a row keeps in a sealed field, and how an instance remembers it.

An instance that came from the database holds the envelope until its value is asked for. What was
last loaded or written stays known, for whoever must digest the row as it is stored.
"""

from dataclasses import dataclass
from typing import Any

from heelwright.vault.errors import SealMisuse


@dataclass(frozen=True, slots=True)
class Envelope:
    """Sealed bytes, on their way from or to the database. Never shown, never a value."""

    sealed: bytes

    def __repr__(self) -> str:
        return "<sealed>"


def remember(instance: Any, name: str, envelope: Envelope) -> None:
    instance.__dict__.setdefault("_stored_envelopes", {})[name] = envelope


def sealed_bytes(instance: Any, name: str) -> bytes:
    """The envelope of this field as last loaded or saved by this instance."""
    envelope = instance.__dict__.get("_stored_envelopes", {}).get(name)
    if envelope is None:
        raise SealMisuse(f"{name} of this instance was neither loaded nor saved, or is empty")
    sealed: bytes = envelope.sealed
    return sealed
