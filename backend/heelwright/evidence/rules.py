"""What a chain of links is, and what is wrong with one. Pure: no Django, no keys of its own."""

import hashlib
from collections.abc import Container, Iterable, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from uuid import UUID

from heelwright.evidence.signing import is_signed
from heelwright.vault.encoding import encode

FIRST_PREVIOUS = bytes(32)


@dataclass(frozen=True, slots=True)
class Entry:
    """What a link says, before it is hashed and signed."""

    chain: UUID
    number: int
    what: str
    row: UUID
    digest: bytes
    previous: bytes
    key_id: str
    made_at: datetime


@dataclass(frozen=True, slots=True)
class SealedEntry:
    entry: Entry
    link_hash: bytes
    signature: bytes


@dataclass(frozen=True, slots=True)
class Head:
    """How far the chain goes, noted apart from the links, so that a cut-off end shows."""

    number: int
    link_hash: bytes


@dataclass(frozen=True, slots=True)
class Fault:
    number: int
    code: str


@dataclass(frozen=True, slots=True)
class Verification:
    """`links` were looked at; the chain stands if there are no faults."""

    links: int
    head: Head | None
    faults: tuple[Fault, ...]

    @property
    def stands(self) -> bool:
        return not self.faults


def link_hash(entry: Entry) -> bytes:
    """SHA-256 over every part of the link, the hash of the one before it included."""
    return hashlib.sha256(
        encode(
            "heelwright.evidence.link.1",
            entry.chain,
            entry.number,
            entry.what,
            entry.row,
            entry.digest,
            entry.previous,
            entry.key_id,
            entry.made_at.astimezone(UTC).isoformat(timespec="microseconds"),
        )
    ).digest()


def check_chain(
    chain: UUID,
    links: Iterable[SealedEntry],
    head: Head | None,
    public_keys: Mapping[str, bytes],
) -> Verification:
    """Every fault of the chain, in order. `links` come by number."""
    faults: list[Fault] = []
    count, last = 0, Head(0, FIRST_PREVIOUS)
    for link in links:
        count += 1
        faults += [
            Fault(link.entry.number, code) for code in _faults(chain, link, last, public_keys)
        ]
        last = Head(link.entry.number, link.link_hash)
    found = last if count else None
    if found != head:
        faults.append(Fault(last.number, "head_differs"))
    return Verification(count, found, tuple(faults))


def _faults(
    chain: UUID, link: SealedEntry, before: Head, public_keys: Mapping[str, bytes]
) -> Iterable[str]:
    if link.entry.chain != chain:
        yield "other_chain"
    if link.entry.number != before.number + 1:
        yield "number_missing"
    if link.entry.previous != before.link_hash:
        yield "previous_differs"
    if link.link_hash != link_hash(link.entry):
        yield "content_differs"
    public = public_keys.get(link.entry.key_id)
    if public is None:
        yield "key_unknown"
    elif not is_signed(public, link.signature, link.link_hash):
        yield "signature_wrong"


def check_rows(
    linked: Mapping[UUID, tuple[int, bytes]],
    rows: Iterable[tuple[UUID, bytes]],
    moved: Container[UUID] = (),
) -> list[Fault]:
    """Rows that are not as they were when they were linked. `linked` has the number and the digest
    of each row's last link. A row that nobody linked has no number: 0. Those that `moved` are
    another chain's to miss."""
    waiting = dict(linked)
    faults = []
    for row, digest in rows:
        number, told = waiting.pop(row, (0, b""))
        if not number:
            faults.append(Fault(0, "row_unlinked"))
        elif digest != told:
            faults.append(Fault(number, "row_differs"))
    gone = [number for row, (number, _) in waiting.items() if row not in moved]
    faults += [Fault(number, "row_missing") for number in gone]
    return sorted(faults, key=lambda fault: fault.number)
