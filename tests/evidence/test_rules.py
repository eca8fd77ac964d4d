"""A chain stands as it was made, and shows every change, drop, swap and addition since."""

from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime, timedelta, timezone
from typing import Any
from uuid import UUID

import pytest
from hypothesis import given
from hypothesis import strategies as st

from heelwright.evidence.rules import (
    FIRST_PREVIOUS,
    Entry,
    Head,
    SealedEntry,
    Verification,
    check_chain,
    link_hash,
)
from heelwright.evidence.signing import public_key, sign

PRACTICE = UUID(int=7)
SEED = bytes(range(32))
KEYS = {"evidence-1": public_key(SEED)}
MADE = datetime(2026, 11, 25, 8, 0, 0, 123456, tzinfo=UTC)

Chain = list[SealedEntry]


def signed(entry: Entry, seed: bytes = SEED) -> SealedEntry:
    hashed = link_hash(entry)
    return SealedEntry(entry, hashed, sign(seed, hashed))


def chain_of(contents: list[tuple[str, UUID, bytes]]) -> Chain:
    links: Chain = []
    for number, (what, row, digest) in enumerate(contents, start=1):
        previous = links[-1].link_hash if links else FIRST_PREVIOUS
        made_at = MADE + timedelta(seconds=number)
        entry = Entry(PRACTICE, number, what, row, digest, previous, "evidence-1", made_at)
        links.append(signed(entry))
    return links


def checked(links: Chain, head: Head | None) -> Verification:
    return check_chain(PRACTICE, links, head, KEYS)


def head_of(links: Chain) -> Head:
    return Head(links[-1].entry.number, links[-1].link_hash)


CHAINS = st.lists(
    st.tuples(st.text(max_size=8), st.uuids(), st.binary(min_size=32, max_size=32)),
    min_size=1,
    max_size=6,
).map(chain_of)


def _other_bytes(value: bytes, data: st.DataObject) -> bytes:
    changed = bytearray(value)
    at = data.draw(st.integers(0, len(value) - 1))
    changed[at] ^= data.draw(st.integers(1, 255))
    return bytes(changed)


def _other(value: Any, data: st.DataObject) -> Any:
    if isinstance(value, bytes):
        return _other_bytes(value, data)
    if isinstance(value, UUID):
        return UUID(bytes=_other_bytes(value.bytes, data))
    if isinstance(value, int):
        return value + data.draw(st.integers(1, 9))
    if isinstance(value, datetime):
        return value + timedelta(microseconds=data.draw(st.integers(1, 10**12)))
    return data.draw(st.text(max_size=8).filter(lambda text: text != value))


@given(CHAINS)
def test_a_chain_stands_as_it_was_made(links: Chain) -> None:
    result = checked(links, head_of(links))
    assert result == Verification(len(links), head_of(links), ())
    assert result.stands


def test_a_chain_that_has_not_begun_stands() -> None:
    assert checked([], None).stands


FIELDS = ("chain", "number", "what", "row", "digest", "previous", "key_id", "made_at")


@pytest.mark.parametrize("name", FIELDS)
@given(links=CHAINS, data=st.data())
def test_any_changed_part_of_any_link_shows(name: str, links: Chain, data: st.DataObject) -> None:
    head, at = head_of(links), data.draw(st.integers(0, len(links) - 1))
    entry = links[at].entry
    links[at] = replace(
        links[at], entry=replace(entry, **{name: _other(getattr(entry, name), data)})
    )
    assert not checked(links, head).stands


@pytest.mark.parametrize("name", ["link_hash", "signature"])
@given(links=CHAINS, data=st.data())
def test_any_changed_byte_of_hash_or_signature_shows(
    name: str, links: Chain, data: st.DataObject
) -> None:
    head, at = head_of(links), data.draw(st.integers(0, len(links) - 1))
    links[at] = replace(links[at], **{name: _other(getattr(links[at], name), data)})
    assert not checked(links, head).stands


@given(CHAINS, st.data())
def test_a_dropped_link_shows_the_last_one_too(links: Chain, data: st.DataObject) -> None:
    head = head_of(links)
    del links[data.draw(st.integers(0, len(links) - 1))]
    assert not checked(links, head).stands


@given(CHAINS, st.data())
def test_swapped_links_show_also_when_renumbered(links: Chain, data: st.DataObject) -> None:
    if len(links) < 2:
        return
    head = head_of(links)
    one, two = sorted(data.draw(st.sets(st.integers(0, len(links) - 1), min_size=2, max_size=2)))
    numbers = links[one].entry.number, links[two].entry.number
    links[one], links[two] = links[two], links[one]
    assert not checked(links, head).stands
    for at, number in ((one, numbers[0]), (two, numbers[1])):
        links[at] = replace(links[at], entry=replace(links[at].entry, number=number))
    assert not checked(links, head).stands


@given(CHAINS, st.data())
def test_a_doubled_or_added_link_shows(links: Chain, data: st.DataObject) -> None:
    head, at = head_of(links), data.draw(st.integers(0, len(links) - 1))
    assert not checked([*links[: at + 1], *links[at:]], head).stands
    last = links[-1]
    more = replace(last.entry, number=last.entry.number + 1, previous=last.link_hash)
    assert not checked([*links, signed(more)], head).stands


@given(CHAINS, st.data())
def test_a_chain_rewritten_without_the_evidence_key_shows(
    links: Chain, data: st.DataObject
) -> None:
    """Somebody at the database changes one digest and recomputes every hash, and the head."""
    at = data.draw(st.integers(0, len(links) - 1))
    rewritten = links[:at]
    for link in links[at:]:
        previous = rewritten[-1].link_hash if rewritten else FIRST_PREVIOUS
        digest = _other(link.entry.digest, data) if len(rewritten) == at else link.entry.digest
        entry = replace(link.entry, digest=digest, previous=previous)
        rewritten.append(signed(entry, seed=bytes(32)))
    result = checked(rewritten, head_of(rewritten))
    assert {fault.code for fault in result.faults} == {"signature_wrong"}


FAULTS: dict[str, Callable[[Chain], Chain]] = {
    "number_missing": lambda links: links[:1] + links[2:],
    "previous_differs": lambda links: [
        *links[:2],
        signed(replace(links[2].entry, previous=bytes(32))),
    ],
    "content_differs": lambda links: [
        *links[:2],
        replace(links[2], entry=replace(links[2].entry, what="other")),
    ],
    "signature_wrong": lambda links: [*links[:2], replace(links[2], signature=bytes(64))],
    "key_unknown": lambda links: [*links[:2], signed(replace(links[2].entry, key_id="gone"))],
    "other_chain": lambda links: [
        *links[:2],
        signed(replace(links[2].entry, chain=UUID(int=8))),
    ],
    "head_differs": lambda links: links[:2],
}


@pytest.mark.parametrize("code", FAULTS)
def test_each_fault_is_named_with_its_link(code: str) -> None:
    links = chain_of([(f"screen {n}", UUID(int=n), bytes([n]) * 32) for n in range(3)])
    faults = checked(FAULTS[code](links), head_of(links)).faults
    expected = 2 if code == "head_differs" else 3
    assert (expected, code) in {(fault.number, fault.code) for fault in faults}


def test_the_same_moment_in_another_zone_is_the_same_link() -> None:
    entry = chain_of([("screen", UUID(int=1), bytes(32))])[0].entry
    elsewhere = entry.made_at.astimezone(timezone(timedelta(hours=9)))
    assert link_hash(replace(entry, made_at=elsewhere)) == link_hash(entry)
