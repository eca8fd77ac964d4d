"""Published vectors through the phone's own sealing code, by WebCrypto, in the real Chromium.

The app's modules are bundled as they are; nothing of them is written again here. Published: NIST
CAVP AES-GCM 256, C2SP Wycheproof AES-GCM and PBKDF2-HMAC-SHA-256, RFC 7914 section 11. That one
language opens what the other sealed has no published source: the layout is our own.
"""

import hashlib
import json
import subprocess
import unicodedata
from collections import Counter
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, Playwright, Route

from heelwright.vault.envelope import decrypt, encrypt
from tests.services.phone import ARGUMENTS, chromium
from tests.services.served import ROOT
from tests.standards.browser_vectors import Cases, browser_vectors

ORIGIN = "http://localhost:9"
PASSPHRASE = "seven quiet h\u00e9rons"
PLACE = ["rows", "client", "an-id", 3]
VALUES = ["", "heel", {"note": "Ana \u017buraw", "mm": 2.5}, [None, True, 0], "\U0001f9b6" * 300]
BUILD = """
import { build } from "vite";
const [root] = process.argv.slice(-1);
const lib = { entry: root + "/entry.ts", formats: ["es"], fileName: () => "app.js" };
await build({ configFile: false, root, logLevel: "error", build: { lib, outDir: root + "/out" } });
"""


def bundle(folder: Path) -> Path:
    """The app's own modules as one file that a page can load."""
    store = ROOT / "pwa" / "src" / "store"
    names = [json.dumps(str(store / name)) for name in ("seal.ts", "passphrase.ts")]
    (folder / "entry.ts").write_text("".join(f"export * from {name};\n" for name in names))
    command = ["node", "--input-type=module", "--eval", BUILD, str(folder)]
    subprocess.run(command, cwd=ROOT / "pwa", check=True)
    return folder / "out" / "app.js"


def script(path: Path) -> Callable[[Route], None]:
    return lambda route: route.fulfill(path=path, content_type="text/javascript")


@pytest.fixture(scope="module")
def page(playwright: Playwright, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Page]:
    """A page in which `run` is tests/system/webcrypto.js; localhost counts as secure."""
    app = bundle(tmp_path_factory.mktemp("bundle"))
    browser = playwright.chromium.launch(executable_path=chromium(), args=list(ARGUMENTS))
    opened = browser.new_page()
    opened.set_default_timeout(60_000)
    opened.route(f"{ORIGIN}/", lambda route: route.fulfill(body="<!doctype html>"))
    opened.route(f"{ORIGIN}/app.js", script(app))
    opened.route(f"{ORIGIN}/run.js", script(Path(__file__).with_name("webcrypto.js")))
    opened.goto(f"{ORIGIN}/")
    opened.evaluate("async () => { globalThis.run = await import('/run.js'); }")
    yield opened
    browser.close()


@pytest.fixture(scope="module")
def vectors() -> dict[str, Cases]:
    return browser_vectors()


def test_published_gcm_vectors(page: Page, vectors: dict[str, Cases]) -> None:
    """NIST CAVP (12-byte nonces, full tags) and Wycheproof, those with keys of 128 and 256 bits."""
    cases = vectors["aes_gcm"]
    found = page.evaluate("(cases) => run.runGcm(cases)", cases)
    counts: Counter[tuple[str, str]] = Counter()
    for case, what in zip(cases, found, strict=True):
        expected = "opens and seals" if case["opens"] else "does not open"
        assert what == expected, case["source"]
        counts[case["source"].split()[0], what] += 1
    assert counts == {
        ("NIST", "opens and seals"): 559,
        ("NIST", "does not open"): 191,
        ("C2SP", "opens and seals"): 155,
        ("C2SP", "does not open"): 58,
    }


def test_published_pbkdf2_vectors(page: Page, vectors: dict[str, Cases]) -> None:
    """RFC 7914 section 11 and Wycheproof. The app makes 32 bytes: the shared beginning counts."""
    cases = [case for case in vectors["pbkdf2"] if takes(case)]
    asked = [case | {"password": bytes.fromhex(case["password"]).decode()} for case in cases]
    made = page.evaluate("(cases) => run.runStretch(cases)", asked)
    for case, key in zip(cases, made, strict=True):
        length = min(len(key), len(case["key"]))
        assert length >= 32
        assert key[:length] == case["key"][:length], case["source"]
    assert sum("RFC 7914" in case["source"] for case in cases) == 2
    assert (len(cases), len(vectors["pbkdf2"])) == (39, 60)


def takes(case: dict[str, Any]) -> bool:
    """A passphrase is text, in one Unicode form; the other vectors' are not."""
    try:
        text = bytes.fromhex(case["password"]).decode()
    except UnicodeDecodeError:
        return False
    return unicodedata.is_normalized("NFKC", text)


def test_sealed_in_python_opens_in_the_browser(page: Page, vectors: dict[str, Cases]) -> None:
    """By the vault's own function; the browser seals them to the same bytes again."""
    found = page.evaluate("(cases) => run.runGcm(cases)", vectors["sealed_here"])
    assert Counter(found) == {"opens and seals": 64}


def associated(*place: Any) -> bytes:
    return json.dumps(["heelwright-box-1", *place], separators=(",", ":")).encode()


def wrapping(wrapped: dict[str, Any]) -> tuple[bytes, bytes]:
    """The key that the passphrase makes, and what the wrapped record key is bound to."""
    text = unicodedata.normalize("NFKC", PASSPHRASE).encode()
    salt = bytes.fromhex(wrapped["salt"])
    key = hashlib.pbkdf2_hmac("sha256", text, salt, wrapped["iterations"])
    return key, associated("record_key", wrapped["kdf"], wrapped["iterations"], *salt)


def test_sealed_in_the_browser_opens_in_python(page: Page) -> None:
    """From the passphrase to the record, without the app's code."""
    made = page.evaluate("(args) => run.sealHere(...args)", [PASSPHRASE, PLACE, VALUES])
    wrapped = made["wrapped"]
    # OWASP Password Storage Cheat Sheet, from memory: 600,000 or more for PBKDF2-HMAC-SHA-256.
    assert wrapped["iterations"] >= 600_000
    key, header = wrapping(wrapped)
    record_key = decrypt(key, *(unhex(wrapped["iv"]), header, unhex(wrapped["ct"])))
    opened = [
        json.loads(decrypt(record_key, unhex(box["iv"]), associated(*PLACE), unhex(box["ct"])))
        for box in made["boxes"]
    ]
    assert opened == VALUES
    assert len({box["iv"] for box in made["boxes"]}) == len(VALUES)


def test_wrapped_and_sealed_in_python_opens_in_the_browser(page: Page) -> None:
    seed = hashlib.sha512(b"a phone").digest()
    record_key, nonce = seed[:32], seed[32:44]
    wrapped: dict[str, Any] = {
        "kdf": "PBKDF2-SHA-256",
        "iterations": 600_000,
        "salt": seed[48:].hex(),
        "iv": nonce.hex(),
    }
    key, header = wrapping(wrapped)
    wrapped["ct"] = encrypt(key, nonce, header, record_key).hex()
    boxes = [
        {"iv": iv.hex(), "ct": encrypt(record_key, iv, associated(*PLACE), body).hex()}
        for iv, body in (
            (bytes([number]) * 12, json.dumps(value).encode())
            for number, value in enumerate(VALUES)
        )
    ]
    opened = page.evaluate("(args) => run.openHere(...args)", [PASSPHRASE, wrapped, PLACE, boxes])
    assert opened == VALUES


def unhex(text: str) -> bytes:
    return bytes.fromhex(text)
