"""The digest of a whole row, its sealed fields as they lie in the database.

No key is needed, and none that is destroyed is missed. What has its default is left out, so that a
column that is added later changes no digest of before.
"""

import hashlib
import json
from datetime import UTC, date, datetime
from typing import Any
from uuid import UUID

from django.db.models import Model

from heelwright.vault.encoding import encode
from heelwright.vault.fields import SealedField
from heelwright.vault.stored import Envelope, sealed_bytes


def digest_of(row: Model) -> bytes:
    """SHA-256 over table, columns and values, in the order of the columns' names. The row was saved
    or loaded; it may be a migration's copy of a model."""
    parts: list[str | bytes] = ["heelwright.evidence.row.1", row._meta.db_table]
    for field in sorted(row._meta.concrete_fields, key=lambda one: str(one.column)):
        value = _sealed(row, field) if isinstance(field, SealedField) else _clear(row, field)
        if value is not None:
            parts += [str(field.column), value]
    return hashlib.sha256(encode(*parts)).digest()


def _sealed(row: Model, field: Any) -> bytes | None:
    value = row.__dict__.get(field.attname)
    if value is None:
        return None
    return value.sealed if isinstance(value, Envelope) else sealed_bytes(row, field.name)


def _clear(row: Model, field: Any) -> str | None:
    value = field.to_python(getattr(row, field.attname))
    if value is None or (field.has_default() and value == field.get_default()):
        return None
    return _text(value)


def _text(value: Any) -> str:
    if isinstance(value, datetime):
        return value.astimezone(UTC).isoformat(timespec="microseconds")
    if isinstance(value, date | UUID):
        return str(value)
    return json.dumps(value, sort_keys=True, separators=(",", ":"))
