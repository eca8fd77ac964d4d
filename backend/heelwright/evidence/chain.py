"""Adding to a chain, and checking it against the keys of this installation and against the rows
that it stands for."""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import datetime
from typing import TYPE_CHECKING, Any
from uuid import UUID

from django.apps import apps
from django.apps.registry import Apps

from heelwright.evidence.rules import (
    FIRST_PREVIOUS,
    Entry,
    Head,
    SealedEntry,
    Verification,
    check_chain,
    check_rows,
    link_hash,
)
from heelwright.evidence.signing import public_key, sign
from heelwright.vault.configured import keys

if TYPE_CHECKING:
    from heelwright.evidence.models import ChainHead, Link

# What a link stands for that is no row: all that the chain stood for goes on in another chain.
MOVED = "moved_to"


@dataclass(frozen=True)
class Kind:
    """How to read all rows of one kind again: `rows(chain)` yields (id, digest), and `chains()` the
    chains that must be there because there are rows."""

    rows: Callable[[UUID], Iterable[tuple[UUID, bytes]]]
    chains: Callable[[], Iterable[UUID]]


_kinds: dict[str, Kind] = {}


def stands_for(what: str, kind: Kind) -> None:
    """Declare a kind of row that chains stand for."""
    _kinds[what] = kind


def append(
    chain: UUID, what: str, row_id: UUID, digest: bytes, at: datetime, within: Apps = apps
) -> "Link":
    """Add a link to the chain of a practice or of a client, and counter-sign it.

    The caller holds the practice's lock and a transaction: two at once would take the same number.
    `within` is for a migration, which has models of its own.
    """
    heads = within.get_model("evidence", "ChainHead").objects
    before: ChainHead | None = heads.filter(chain=chain).first()
    evidence = keys()
    entry = Entry(
        chain=chain,
        number=before.number + 1 if before else 1,
        what=what,
        row=row_id,
        digest=digest,
        previous=bytes(before.link_hash) if before else FIRST_PREVIOUS,
        key_id=evidence.evidence_current,
        made_at=at,
    )
    hashed = link_hash(entry)
    signature = sign(evidence.evidence_seeds[entry.key_id], hashed)
    link: Link = within.get_model("evidence", "Link").objects.create(
        **_columns(entry), link_hash=hashed, signature=signature
    )
    heads.update_or_create(chain=chain, defaults={"number": entry.number, "link_hash": hashed})
    return link


def move(chain: UUID, to: UUID, at: datetime) -> None:
    """End a chain that goes on in another one, where each of its rows has been linked again."""
    head: ChainHead | None = _model("ChainHead").objects.filter(chain=chain).first()
    if head is not None:
        append(chain, MOVED, to, bytes(head.link_hash), at)


def verify(chain: UUID) -> Verification:
    """Check a whole chain, link by link, with every configured evidence key; then every row that it
    stands for."""
    row: ChainHead | None = _model("ChainHead").objects.filter(chain=chain).first()
    head = Head(row.number, bytes(row.link_hash)) if row else None
    seeds = keys().evidence_seeds
    public_keys = {name: public_key(seed) for name, seed in seeds.items()}
    found = check_chain(chain, _links(chain), head, public_keys)
    changed = [
        fault
        for what, kind in _kinds.items()
        for fault in check_rows(_linked(chain, what), kind.rows(chain), _moved(chain, what))
    ]
    return replace(found, faults=(*found.faults, *changed))


def _linked(chain: UUID, what: str) -> dict[UUID, tuple[int, bytes]]:
    """The last link of each row: one that is written again is linked again."""
    links = _model("Link").objects.filter(chain=chain, what=what).order_by("number")
    found = links.values_list("row_id", "number", "digest")
    return {row: (number, bytes(digest)) for row, number, digest in found.iterator()}


def _moved(chain: UUID, what: str) -> set[UUID]:
    """Rows that went on into another chain, as that one says."""
    links = _model("Link").objects
    onward = links.filter(chain=chain, what=MOVED).values_list("row_id", flat=True)
    return set(links.filter(chain__in=list(onward), what=what).values_list("row_id", flat=True))


def chains() -> list[UUID]:
    """Every chain that has links, a noted end, or rows that it must stand for."""
    ids = {
        *_model("Link").objects.values_list("chain", flat=True).distinct(),
        *_model("ChainHead").objects.values_list("chain", flat=True),
        *(chain for kind in _kinds.values() for chain in kind.chains()),
    }
    return sorted(ids)


def _links(chain: UUID) -> Iterator[SealedEntry]:
    rows = _model("Link").objects.filter(chain=chain).order_by("number")
    for row in rows.iterator(chunk_size=1000):
        entry = Entry(
            chain=row.chain,
            number=row.number,
            what=row.what,
            row=row.row_id,
            digest=bytes(row.digest),
            previous=bytes(row.previous),
            key_id=row.key_id,
            made_at=row.made_at,
        )
        yield SealedEntry(entry, bytes(row.link_hash), bytes(row.signature))


def _columns(entry: Entry) -> dict[str, Any]:
    return {
        "chain": entry.chain,
        "number": entry.number,
        "what": entry.what,
        "row_id": entry.row,
        "digest": entry.digest,
        "previous": entry.previous,
        "key_id": entry.key_id,
        "made_at": entry.made_at,
    }


# Looked up when used: this package is imported before Django has its models.
def _model(name: str) -> Any:
    return apps.get_model("evidence", name)
