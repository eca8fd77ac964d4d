"""Where a sealed value lives: an envelope opens there and nowhere else. No Django here."""

from dataclasses import dataclass
from enum import StrEnum
from uuid import UUID

from heelwright.vault.encoding import encode


class Kind(StrEnum):
    """What a sealed value is once open."""

    TEXT = "text"
    DATE = "date"
    INTEGER = "integer"
    FLAG = "flag"
    MAPPING = "mapping"
    LIST = "list"
    BYTES = "bytes"


@dataclass(frozen=True, slots=True)
class Place:
    """A cell of the database (or a blob's name), and whom it is about."""

    practice: UUID
    subject: UUID
    table: str
    column: str
    row: str
    kind: Kind = Kind.BYTES

    def __str__(self) -> str:
        return f"{self.table}.{self.column}"

    def associated(self, data_key: UUID) -> bytes:
        """What the tag covers beside the value. The kind is in it, so that a field whose type was
        changed in place does not read old values as something else."""
        return encode(
            "heelwright.place.1",
            data_key,
            self.table,
            self.column,
            self.row,
            self.subject,
            self.practice,
            self.kind,
        )
