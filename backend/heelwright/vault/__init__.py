"""Sealed values and the keys that open them.

Answers for: sealing fields and blobs, the data key of each subject, destroying it, rewrapping it.
A subject is the id of a client, or of the practice for what has no client. Does not know what a
client is, who may read, or how long anything is kept.

Fields are in `vault.fields`, their base model in `vault.models`.
"""

from heelwright.vault.datakeys import make, prefetch, shred
from heelwright.vault.errors import (
    DataKeyMissing,
    KeyUnknown,
    SealBroken,
    SealMisuse,
    SubjectShredded,
    UnsealableValue,
    VaultError,
)
from heelwright.vault.place import Kind, Place
from heelwright.vault.stored import sealed_bytes
from heelwright.vault.units import unit
from heelwright.vault.values import fingerprint, open_bytes, open_value, seal_bytes, seal_value

__all__ = [
    "DataKeyMissing",
    "KeyUnknown",
    "Kind",
    "Place",
    "SealBroken",
    "SealMisuse",
    "SubjectShredded",
    "UnsealableValue",
    "VaultError",
    "fingerprint",
    "make",
    "open_bytes",
    "open_value",
    "prefetch",
    "seal_bytes",
    "seal_value",
    "sealed_bytes",
    "shred",
    "unit",
]
