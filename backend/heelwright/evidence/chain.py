"""Adding to a practice's chain, and checking it against the keys of this installation and against
the rows that it stands for."""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace
from datetime import datetime
from typing import TYPE_CHECKING, Any
from uuid import UUID

from django.apps import apps

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

Rows = Callable[[UUID], Iterable[tuple[UUID, bytes]]]
_rows: dict[str, Rows] = {}


def stands_for(what: str, rows: Rows) -> None:
    """Declare how to read all rows of one kind again: `rows(practice)` yields (id, digest)."""
    _rows[what] = rows


def append(practice_id: UUID, what: str, row_id: UUID, digest: bytes, at: datetime) -> "Link":
    """Add a link to the practice's chain and counter-sign it.

    The caller holds the practice's lock and a transaction: two at once would take the same number.
    """
    heads = _model("ChainHead").objects
    before: ChainHead | None = heads.filter(practice_id=practice_id).first()
    evidence = keys()
    entry = Entry(
        practice=practice_id,
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
    link: Link = _model("Link").objects.create(
        **_columns(entry), link_hash=hashed, signature=signature
    )
    heads.update_or_create(
        practice_id=practice_id, defaults={"number": entry.number, "link_hash": hashed}
    )
    return link


def verify(practice_id: UUID) -> Verification:
    """Check the whole chain of a practice, link by link, with every configured evidence key; then
    every row that it stands for."""
    row: ChainHead | None = _model("ChainHead").objects.filter(practice_id=practice_id).first()
    head = Head(row.number, bytes(row.link_hash)) if row else None
    seeds = keys().evidence_seeds
    public_keys = {name: public_key(seed) for name, seed in seeds.items()}
    chain = check_chain(practice_id, _links(practice_id), head, public_keys)
    changed = [
        fault
        for what, rows in _rows.items()
        for fault in check_rows(_linked(practice_id, what), rows(practice_id))
    ]
    return replace(chain, faults=(*chain.faults, *changed))


def _linked(practice_id: UUID, what: str) -> dict[UUID, tuple[int, bytes]]:
    links = _model("Link").objects.filter(practice_id=practice_id, what=what)
    found = links.values_list("row_id", "number", "digest")
    return {row: (number, bytes(digest)) for row, number, digest in found.iterator()}


def practices() -> list[UUID]:
    """Every practice that has links or a noted end."""
    ids = {
        *_model("Link").objects.values_list("practice_id", flat=True).distinct(),
        *_model("ChainHead").objects.values_list("practice_id", flat=True),
    }
    return sorted(ids)


def _links(practice_id: UUID) -> Iterator[SealedEntry]:
    rows = _model("Link").objects.filter(practice_id=practice_id).order_by("number")
    for row in rows.iterator(chunk_size=1000):
        entry = Entry(
            practice=row.practice_id,
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
        "practice_id": entry.practice,
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
