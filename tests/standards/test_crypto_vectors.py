"""Published vectors through the vault's and the evidence's own functions, and how many of each.

All published: NIST CAVP GCM (SP 800-38D), C2SP Wycheproof, RFC 5869, RFC 8032's Ed25519 by its
authors' sign.input, RFC 7914 section 11. What the functions do not take is run too, and refused.
"""

import hashlib
from collections import Counter
from pathlib import Path

import pytest

from heelwright.evidence.signing import is_signed, public_key, sign
from heelwright.vault.envelope import TAG_BYTES, decrypt, encrypt
from heelwright.vault.errors import SealBroken
from heelwright.vault.kdf import hkdf_sha256
from tests.standards import published_vectors as published
from tests.standards.browser_vectors import browser_vectors, write_browser_vectors
from tests.standards.published_vectors import Gcm

# The library takes nonces of 8 to 128 bytes; the vault makes 12.
SHORTEST, LONGEST = 8, 128


def fits(case: Gcm) -> bool:
    return SHORTEST <= len(case.nonce) <= LONGEST


def seals_as_published(case: Gcm) -> bool:
    """NIST's shorter tags are the beginning of the full one."""
    sealed = encrypt(case.key, case.nonce, case.associated, case.plaintext)
    end = len(case.ciphertext)
    return sealed[:end] == case.ciphertext and sealed[end:].startswith(case.tag)


def opens(case: Gcm) -> bool:
    try:
        found = decrypt(case.key, case.nonce, case.associated, case.ciphertext + case.tag)
    except SealBroken:
        return False
    assert found == case.plaintext
    return True


def test_nist_gcm_256_encrypt() -> None:
    """NIST CAVP gcmEncryptExtIV256.rsp: 7,875 cases, a third of them with a one-byte nonce."""
    counts: Counter[str] = Counter()
    for case in published.nist_gcm("gcmEncryptExtIV256.rsp"):
        if fits(case):
            assert seals_as_published(case), case.name
            counts["sealed"] += 1
        else:
            with pytest.raises(ValueError, match="[Nn]once"):
                encrypt(case.key, case.nonce, case.associated, case.plaintext)
            counts["nonce refused"] += 1
    assert counts == {"sealed": 5250, "nonce refused": 2625}


def test_nist_gcm_256_decrypt() -> None:
    """NIST CAVP gcmDecrypt256.rsp: 7,875 cases. The vault takes the full tag and no shorter one."""
    counts: Counter[str] = Counter()
    for case in published.nist_gcm("gcmDecrypt256.rsp"):
        full = fits(case) and len(case.tag) == TAG_BYTES
        expected = case.opens and full
        assert opens(case) == expected, case.name
        counts["opened" if expected else "broken" if full else "tag or nonce refused"] += 1
    assert counts == {"opened": 372, "broken": 378, "tag or nonce refused": 7125}


def test_wycheproof_gcm() -> None:
    """C2SP Wycheproof aes_gcm_test.json: 316 cases, 87 of which must not open."""
    counts: Counter[str] = Counter()
    for case in published.wycheproof_gcm():
        expected = case.opens and fits(case)
        assert opens(case) == expected, case.name
        if expected:
            assert seals_as_published(case), case.name
        counts["opened" if expected else "nonce refused" if case.opens else "must not open"] += 1
    assert counts == {"opened": 202, "nonce refused": 27, "must not open": 87}


def test_rfc_5869_hkdf() -> None:
    """RFC 5869 appendix A, the three cases with SHA-256."""
    count = 0
    for case in published.rfc_5869_sha256():
        secret, salt, info = (bytes.fromhex(case[name]) for name in ("IKM", "salt", "info"))
        assert hkdf_sha256(secret, salt, info, int(case["L"])).hex() == case["OKM"]
        count += 1
    assert count == 3


def test_wycheproof_hkdf() -> None:
    """C2SP Wycheproof hkdf_sha256_test.json: 86 cases, 3 of which ask for too much."""
    counts: Counter[str] = Counter()
    for case in published.wycheproof_hkdf_sha256():
        secret, salt, info = (bytes.fromhex(case[name]) for name in ("ikm", "salt", "info"))
        counts[case["result"]] += 1
        if case["result"] == "valid":
            assert hkdf_sha256(secret, salt, info, case["size"]).hex() == case["okm"], case["tcId"]
        else:
            with pytest.raises(ValueError, match="larger"):
                hkdf_sha256(secret, salt, info, case["size"])
    assert counts == {"valid": 83, "invalid": 3}


def test_ed25519_signatures() -> None:
    """The Ed25519 authors' sign.input (the algorithm of RFC 8032): 1,024 keys and messages."""
    count = 0
    for seed, public, message, signature in published.ed25519_signatures():
        assert public_key(seed) == public
        assert sign(seed, message) == signature
        assert is_signed(public, signature, message)
        assert not is_signed(public, signature, message + b"\0")
        count += 1
    assert count == 1024


def test_wycheproof_ed25519() -> None:
    """C2SP Wycheproof ed25519_test.json: 210 cases; on "acceptable" ones libraries may differ."""
    counts: Counter[str] = Counter()
    for case in published.wycheproof_ed25519():
        public = bytes.fromhex(case["publicKey"]["pk"])
        signature, message = bytes.fromhex(case["sig"]), bytes.fromhex(case["msg"])
        counts[case["result"]] += 1
        if case["result"] != "acceptable":
            expected = case["result"] == "valid"
            assert is_signed(public, signature, message) == expected, case["tcId"]
    assert counts == {"valid": 117, "invalid": 64, "acceptable": 29}


def test_what_the_browser_will_be_given(tmp_path: Path) -> None:
    """The file of vectors for WebCrypto is whole, and its PBKDF2 part agrees with Python's own."""
    vectors = browser_vectors()
    counts = {name: len(cases) for name, cases in vectors.items()}
    assert counts == {"aes_gcm": 963, "pbkdf2": 60, "sealed_here": 64}
    rfc_7914 = [case for case in vectors["pbkdf2"] if "RFC 7914" in case["source"]]
    assert [case["iterations"] for case in rfc_7914] == [1, 80_000]
    for case in vectors["pbkdf2"]:
        password, salt = bytes.fromhex(case["password"]), bytes.fromhex(case["salt"])
        length = len(case["key"]) // 2
        made = hashlib.pbkdf2_hmac("sha256", password, salt, case["iterations"], length)
        assert made.hex() == case["key"], case["source"]
    path = tmp_path / "vectors.json"
    write_browser_vectors(path)
    assert path.stat().st_size > 100_000
