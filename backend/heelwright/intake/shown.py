"""What exactly was shown at a signing, in one form of bytes. `pwa/src/domain/shown.ts` makes alike.

Answers for the form and its digest. Does not know a book or a client.
"""

import hashlib
import json
from collections.abc import Sequence
from dataclasses import dataclass

FORM = "heelwright.consent.shown.1"


@dataclass(frozen=True)
class ShownText:
    id: str
    version: int
    title: str
    words: str
    agreed: bool


@dataclass(frozen=True)
class Shown:
    """`presented` is how the texts were taken in; `texts` in the order in which they were shown."""

    language: str
    presented: str
    signer_name: str
    signer_role: str
    ground: str
    authority: str
    texts: Sequence[ShownText]


def canonical(shown: Shown) -> bytes:
    """JSON (RFC 8259) of lists alone, so that no order of keys is left open, without spaces, in
    UTF-8; what needs no escape has none."""
    signer = [shown.signer_name, shown.signer_role, shown.ground, shown.authority]
    texts = [[t.id, t.version, t.title, t.words, t.agreed] for t in shown.texts]
    form = [FORM, shown.language, shown.presented, signer, texts]
    return json.dumps(form, ensure_ascii=False, separators=(",", ":")).encode()


def digest(shown: Shown) -> str:
    """SHA-256 in hex."""
    return hashlib.sha256(canonical(shown)).hexdigest()
