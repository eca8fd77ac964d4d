"""The cursor a device gives back with each pull: where it stands on its practice's feed.

`done` is the number up to which everything in scope has been fetched. While a long answer is being
paged, `upper` is the number at which it was fixed and `place` how far the pages have come. Each of
the two has the mark of the history it was given out in; number 0 has none.
"""

import base64
import json
from dataclasses import asdict, dataclass
from typing import Any
from uuid import UUID

from heelwright.declarations import Refused


@dataclass(frozen=True)
class Cursor:
    done: int = 0
    mark: str = ""
    upper: int = 0
    upper_mark: str = ""
    place: int = 0

    @property
    def paging(self) -> bool:
        return self.upper > self.done

    @property
    def named(self) -> set[tuple[int, UUID]]:
        """The numbers and marks that the server must know for the cursor to mean anything."""
        pairs = ((self.done, self.mark), (self.upper, self.upper_mark))
        return {(number, UUID(mark)) for number, mark in pairs if number > 0}

    def write(self) -> str:
        return base64.urlsafe_b64encode(json.dumps(asdict(self)).encode()).decode()


def read(text: str | None) -> Cursor | None:
    """The cursor as it was written; None where there is none yet, or only protocol 1's, which had
    an epoch and no mark. Raises Refused for anything else."""
    if not text:
        return None
    try:
        fields = json.loads(base64.urlsafe_b64decode(text.encode()))
        return None if "epoch" in fields else _checked(fields)
    except (ValueError, TypeError, AttributeError, RecursionError):
        raise Refused(
            "bad_cursor",
            "The place where this device left off can't be read.",
            "Sync again from the start.",
            field="cursor",
        ) from None


def _checked(fields: dict[str, Any]) -> Cursor:
    cursor = Cursor(**fields)
    for number in (cursor.done, cursor.upper, cursor.place):
        if type(number) is not int or not 0 <= number < 2**53:
            raise ValueError
    _ = cursor.named  # a mark that is none raises here
    return cursor
