"""Wrapping data keys under a key-encrypting key with an id.

`KeyWrapper` is all that the vault asks of whoever keeps those keys; `Keyring` keeps them in memory.
A key service could stand in its place. No Django here.
"""

import secrets
from dataclasses import dataclass
from typing import Protocol

from heelwright.vault import envelope
from heelwright.vault.encoding import encode
from heelwright.vault.errors import KeyUnknown
from heelwright.vault.kdf import seal_keys
from heelwright.vault.keyfile import Keys


@dataclass(frozen=True, slots=True)
class Wrapped:
    kek_id: str
    wrapped: bytes


class KeyWrapper(Protocol):
    """`context` is bound to the wrapped key: it unwraps only with the same one."""

    @property
    def current(self) -> str: ...

    def wrap(self, secret: bytes, context: bytes) -> Wrapped: ...

    def unwrap(self, held: Wrapped, context: bytes) -> bytes: ...


@dataclass(frozen=True, slots=True)
class Keyring:
    """Key-encrypting keys held by this process."""

    keys: Keys

    @property
    def current(self) -> str:
        return self.keys.current

    def wrap(self, secret: bytes, context: bytes) -> Wrapped:
        nonce = secrets.token_bytes(envelope.NONCE_BYTES)
        keys = seal_keys(self.keys.keks[self.current], "wrap")
        bound = encode("heelwright.wrap.1", self.current, context)
        return Wrapped(self.current, envelope.seal(keys, nonce, bound, secret))

    def unwrap(self, held: Wrapped, context: bytes) -> bytes:
        kek = self.keys.keks.get(held.kek_id)
        if kek is None:
            raise KeyUnknown(f"the key-encrypting key {held.kek_id!r} is not configured")
        bound = encode("heelwright.wrap.1", held.kek_id, context)
        return envelope.open_envelope(seal_keys(kek, "wrap"), bound, held.wrapped)
