"""The envelope: what a sealed value looks like at rest, how it is made and how it is opened.

    version (1) | key commitment (32) | nonce (12) | ciphertext and tag (16 more than the value)

Pure: keys, nonce and associated data come in as arguments. No Django here.
"""

import hmac

from cryptography.exceptions import InvalidTag
from cryptography.hazmat.primitives.ciphers.aead import AESGCM

from heelwright.vault.encoding import encode
from heelwright.vault.errors import SealBroken
from heelwright.vault.kdf import KEY_BYTES, SealKeys

VERSION = b"\x01"
NONCE_BYTES = 12
TAG_BYTES = 16
_COMMITMENT_END = 1 + KEY_BYTES
_NONCE_END = _COMMITMENT_END + NONCE_BYTES
OVERHEAD = _NONCE_END + TAG_BYTES


def encrypt(key: bytes, nonce: bytes, associated: bytes, plaintext: bytes) -> bytes:
    """AES-256-GCM (NIST SP 800-38D): ciphertext followed by the 16-byte tag."""
    return AESGCM(key).encrypt(nonce, plaintext, associated)


def decrypt(key: bytes, nonce: bytes, associated: bytes, ciphertext: bytes) -> bytes:
    """The inverse of `encrypt`. Raises SealBroken where the tag does not fit."""
    try:
        return AESGCM(key).decrypt(nonce, ciphertext, associated)
    except (InvalidTag, ValueError):
        raise SealBroken("the sealed value was altered, or belongs somewhere else") from None


def seal(keys: SealKeys, nonce: bytes, associated: bytes, plaintext: bytes) -> bytes:
    """An envelope. The nonce must be fresh for these keys."""
    if len(nonce) != NONCE_BYTES:
        raise ValueError(f"a nonce has {NONCE_BYTES} bytes")
    head = VERSION + keys.commitment + nonce
    return head + encrypt(keys.encryption, nonce, encode(VERSION, associated), plaintext)


def open_envelope(keys: SealKeys, associated: bytes, envelope: bytes) -> bytes:
    """The value. The commitment is compared first: GCM alone can be made to open under two keys."""
    if len(envelope) < OVERHEAD or envelope[:1] != VERSION:
        raise SealBroken("this is not a sealed value of a known version")
    if not hmac.compare_digest(envelope[1:_COMMITMENT_END], keys.commitment):
        raise SealBroken("the value was sealed under another key")
    nonce = envelope[_COMMITMENT_END:_NONCE_END]
    return decrypt(keys.encryption, nonce, encode(VERSION, associated), envelope[_NONCE_END:])
