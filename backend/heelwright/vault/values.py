"""Sealing a value into its place, and opening it there: for fields, blobs and logs alike."""

import secrets
from typing import Any
from uuid import UUID

from heelwright.vault import codec, datakeys, envelope
from heelwright.vault.errors import SealBroken
from heelwright.vault.kdf import keyed_digest
from heelwright.vault.place import Place


def seal_bytes(place: Place, plaintext: bytes) -> bytes:
    """An envelope for this place. Makes the subject's data key if it has none yet."""
    key = datakeys.opened_or_made(place.practice, place.subject)
    columns = key.for_column(place.table, place.column)
    nonce = secrets.token_bytes(envelope.NONCE_BYTES)
    return envelope.seal(columns, nonce, place.associated(key.id), plaintext)


def open_bytes(place: Place, sealed: bytes) -> bytes:
    """The value that was sealed for exactly this place. Raises SealBroken where it was not."""
    key = datakeys.opened(place.subject)
    columns = key.for_column(place.table, place.column)
    try:
        return envelope.open_envelope(columns, place.associated(key.id), sealed)
    except SealBroken as error:
        raise SealBroken(f"{place}: {error}") from None


def seal_value(place: Place, value: Any) -> bytes:
    """As `seal_bytes`, for a value of the place's kind."""
    return seal_bytes(place, codec.to_bytes(place.kind, value))


def open_value(place: Place, sealed: bytes) -> Any:
    return codec.from_bytes(place.kind, open_bytes(place, sealed))


def fingerprint(
    practice: UUID, purpose: str, content: bytes, *, subject: UUID | None = None
) -> bytes:
    """A keyed digest: equal for equal content, and no help in guessing it without the data key.

    Under the practice's key, or the subject's; shredding the subject then takes its meaning away.
    """
    key = datakeys.opened_or_made(practice, subject or practice)
    return keyed_digest(key.secret, purpose, content)
