"""Keys made from keys: HKDF-SHA-256 (RFC 5869), a derived key for each purpose. No Django here."""

import hashlib
import hmac
from dataclasses import dataclass, field

from cryptography.hazmat.primitives.hashes import SHA256
from cryptography.hazmat.primitives.kdf.hkdf import HKDF

from heelwright.vault.encoding import encode

KEY_BYTES = 32


@dataclass(frozen=True, slots=True)
class SealKeys:
    """What one envelope needs: the key that encrypts, and the public mark that commits to it."""

    encryption: bytes = field(repr=False)
    commitment: bytes = field(repr=False)


def hkdf_sha256(secret: bytes, salt: bytes, info: bytes, length: int) -> bytes:
    return HKDF(algorithm=SHA256(), length=length, salt=salt, info=info).derive(secret)


def seal_keys(secret: bytes, *purpose: str) -> SealKeys:
    """Both halves come out of one derivation: no other secret gives the same commitment."""
    material = hkdf_sha256(secret, b"", encode("heelwright.seal.1", *purpose), 2 * KEY_BYTES)
    return SealKeys(encryption=material[:KEY_BYTES], commitment=material[KEY_BYTES:])


def keyed_digest(secret: bytes, purpose: str, content: bytes) -> bytes:
    """HMAC-SHA-256 of the content under a key for this purpose alone."""
    key = hkdf_sha256(secret, b"", encode("heelwright.digest.1", purpose), KEY_BYTES)
    return hmac.new(key, content, hashlib.sha256).digest()
