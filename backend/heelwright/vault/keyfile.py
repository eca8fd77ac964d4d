"""The key file: the key-encrypting keys and the evidence seeds of one installation.

    {"current": id, "keys": {id: base64}, "evidence": {"current": id, "seeds": {id: base64}}}

Makes it, adds a key to it, reads it. Knows no Django; keys come from the system's randomness and
from nothing else. By hand: `python -m heelwright.vault.keyfile make|add-key PATH`.
"""

import base64
import binascii
import json
import os
import secrets
import stat
import sys
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from heelwright.vault.kdf import KEY_BYTES


class KeyFileError(Exception):
    """The keys cannot be used as they are. The message says what to do; it holds no key."""


@dataclass(frozen=True, slots=True)
class Keys:
    """Key-encrypting keys and Ed25519 seeds by id; the current one of each is used for new work."""

    current: str
    keks: Mapping[str, bytes] = field(repr=False)
    evidence_current: str
    evidence_seeds: Mapping[str, bytes] = field(repr=False)


def generate() -> Keys:
    kek, evidence = _new_id("kek"), _new_id("evidence")
    return Keys(kek, {kek: _new_key()}, evidence, {evidence: _new_key()})


def make(path: Path) -> Keys:
    """Write a file of fresh keys, readable by its owner alone. Never overwrites one."""
    keys = generate()
    try:
        _write_new(path, keys)
    except FileExistsError:
        raise KeyFileError(f"{path} exists already; losing its keys would lose the data") from None
    return keys


def add_key(path: Path) -> Keys:
    """Add a key-encrypting key and make it the current one. The old ones stay, to rewrap from."""
    keys = load(path)
    kek = _new_id("kek")
    grown = replace(keys, current=kek, keks={**keys.keks, kek: _new_key()})
    beside = path.with_name(f"{path.name}.{kek}")
    _write_new(beside, grown)
    beside.replace(path)
    return grown


def load(path: Path) -> Keys:
    """Read the file. Refuses one that others could read."""
    try:
        descriptor = os.open(path, os.O_RDONLY)
    except OSError as error:
        raise KeyFileError(f"cannot read the key file {path}: {error.strerror}") from None
    with os.fdopen(descriptor, encoding="utf-8") as file:
        if stat.S_IMODE(os.fstat(descriptor).st_mode) & (stat.S_IRWXG | stat.S_IRWXO):
            raise KeyFileError(f"others can read {path}; close it with: chmod 600 {path}")
        return parse(file.read())


def parse(text: str) -> Keys:
    """Keys from their JSON form, as in the file."""
    try:
        form = json.loads(text)
        keys = Keys(
            current=form["current"],
            keks=_decoded(form["keys"]),
            evidence_current=form["evidence"]["current"],
            evidence_seeds=_decoded(form["evidence"]["seeds"]),
        )
    except (ValueError, KeyError, TypeError, AttributeError):
        raise KeyFileError("the keys are not in the form that docs/security.md shows") from None
    if keys.current not in keys.keks or keys.evidence_current not in keys.evidence_seeds:
        raise KeyFileError("the keys name a current key that is not among them")
    return keys


def dump(keys: Keys) -> str:
    """The JSON form of the keys. Secret."""
    form = {
        "current": keys.current,
        "keys": _encoded(keys.keks),
        "evidence": {"current": keys.evidence_current, "seeds": _encoded(keys.evidence_seeds)},
    }
    return json.dumps(form, indent=2) + "\n"


def _write_new(path: Path, keys: Keys) -> None:
    descriptor = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    with os.fdopen(descriptor, "w", encoding="utf-8") as file:
        os.fchmod(descriptor, 0o600)
        file.write(dump(keys))
        file.flush()
        os.fsync(descriptor)


def _new_key() -> bytes:
    return secrets.token_bytes(KEY_BYTES)


def _new_id(prefix: str) -> str:
    return f"{prefix}-{secrets.token_hex(4)}"


def _encoded(keys: Mapping[str, bytes]) -> dict[str, str]:
    return {name: base64.b64encode(key).decode() for name, key in keys.items()}


def _decoded(form: Mapping[str, Any]) -> dict[str, bytes]:
    keys = {name: base64.b64decode(key, validate=True) for name, key in form.items()}
    if any(len(key) != KEY_BYTES for key in keys.values()):
        raise binascii.Error
    return keys


def main(arguments: list[str]) -> int:
    actions = {"make": make, "add-key": add_key}
    if len(arguments) != 2 or arguments[0] not in actions:
        sys.stderr.write("usage: python -m heelwright.vault.keyfile make|add-key PATH\n")
        return 2
    try:
        keys = actions[arguments[0]](Path(arguments[1]))
    except (KeyFileError, OSError) as error:
        sys.stderr.write(f"{error}\n")
        return 1
    sys.stdout.write(f"{arguments[1]}: the current key is {keys.current}, of {len(keys.keks)}\n")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
