"""Vectors for WebCrypto, as one JSON file that a page can read: published, and some sealed here.

AES-GCM cases have key, iv, aad, plaintext, sealed (ciphertext and tag) and opens;
PBKDF2-HMAC-SHA-256 cases have password, salt, iterations and key. All bytes are hex. Keys of 192
bits are left out: Chromium takes none.
"""

import hashlib
import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from heelwright.vault.envelope import TAG_BYTES, encrypt
from tests.standards import published_vectors as published
from tests.standards.published_vectors import Gcm

Cases = list[dict[str, Any]]


def browser_vectors() -> dict[str, Cases]:
    return {
        "aes_gcm": list(_published_gcm()),
        "pbkdf2": list(_published_pbkdf2()),
        "sealed_here": list(_sealed_here(64)),
    }


def write_browser_vectors(path: Path) -> None:
    path.write_text(json.dumps(browser_vectors()), encoding="utf-8")


def _published_gcm() -> Iterator[dict[str, Any]]:
    for case in published.wycheproof_gcm():
        if len(case.key) != 24:
            yield _gcm(f"C2SP Wycheproof aes_gcm {case.name}", case)
    for file in ("gcmEncryptExtIV256.rsp", "gcmDecrypt256.rsp"):
        for case in published.nist_gcm(file):
            # The phone makes nonces of 12 bytes and full tags.
            if len(case.tag) == TAG_BYTES and len(case.nonce) == 12:
                yield _gcm(f"NIST CAVP {case.name}", case)


def _gcm(source: str, case: Gcm) -> dict[str, Any]:
    return {
        "source": source,
        "key": case.key.hex(),
        "iv": case.nonce.hex(),
        "aad": case.associated.hex(),
        "plaintext": case.plaintext.hex(),
        "sealed": (case.ciphertext + case.tag).hex(),
        "opens": case.opens,
    }


def _published_pbkdf2() -> Iterator[dict[str, Any]]:
    for case in published.wycheproof_pbkdf2_sha256():
        rfc = "RFC 7914 section 11, " if "Rfc7914" in case["flags"] else ""
        yield {
            "source": f"{rfc}C2SP Wycheproof pbkdf2_hmacsha256 tcId {case['tcId']}",
            "password": case["password"],
            "salt": case["salt"],
            "iterations": case["iterationCount"],
            "key": case["dk"],
        }


def _sealed_here(count: int) -> Iterator[dict[str, Any]]:
    """Sealed by the vault's own function, of every length from nothing up; every run alike."""
    for length in range(count):
        seed = hashlib.sha512(f"heelwright {length}".encode()).digest()
        key, nonce, associated = seed[:32], seed[32:44], seed[44 : 44 + length % 20]
        plaintext = hashlib.shake_128(seed).digest(length)
        sealed = encrypt(key, nonce, associated, plaintext)
        case = Gcm(
            f"heelwright, {length} bytes",
            key,
            nonce,
            associated,
            plaintext,
            sealed[:-TAG_BYTES],
            sealed[-TAG_BYTES:],
            opens=True,
        )
        yield _gcm(case.name, case)
