"""Seals the parts of a picture under the key of its own that its row holds. No I/O."""

import secrets
from uuid import UUID

from heelwright.vault.encoding import encode
from heelwright.vault.envelope import NONCE_BYTES, open_envelope, seal
from heelwright.vault.kdf import SealKeys, seal_keys


def seal_part(key: bytes, photo: UUID, number: int, plain: bytes) -> bytes:
    """An envelope that opens as this part of this photo and nowhere else."""
    return seal(_keys(key), secrets.token_bytes(NONCE_BYTES), _bound_to(photo, number), plain)


def open_part(key: bytes, photo: UUID, number: int, sealed: bytes) -> bytes:
    """Raises SealBroken where it was altered or is another part."""
    return open_envelope(_keys(key), _bound_to(photo, number), sealed)


def _keys(key: bytes) -> SealKeys:
    return seal_keys(key, "photo")


def _bound_to(photo: UUID, number: int) -> bytes:
    return encode("heelwright.photo.1", photo, number)
