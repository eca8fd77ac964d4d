"""The cursor a device gives back with each pull: where it stands on its practice's feed.

`done` is the number up to which everything in scope has been fetched. While a long answer is being
paged, `upper` is the number at which it was fixed and `place` how far the pages have come.
"""

import base64
import json
from dataclasses import asdict, dataclass
from uuid import UUID

from heelwright.declarations import Refused


@dataclass(frozen=True)
class Cursor:
    epoch: str
    done: int = 0
    upper: int = 0
    place: int = 0

    @property
    def paging(self) -> bool:
        return self.upper > self.done

    def write(self) -> str:
        return base64.urlsafe_b64encode(json.dumps(asdict(self)).encode()).decode()


def read(text: str) -> Cursor:
    """The cursor as it was written; raises Refused for anything else."""
    try:
        fields = json.loads(base64.urlsafe_b64decode(text.encode()))
        cursor = Cursor(**fields)
        UUID(cursor.epoch)
        for number in (cursor.done, cursor.upper, cursor.place):
            if type(number) is not int or not 0 <= number < 2**53:
                raise ValueError
    except (ValueError, TypeError, AttributeError, RecursionError):
        raise Refused(
            "bad_cursor",
            "The place where this device left off can't be read.",
            "Sync again from the start.",
            field="cursor",
        ) from None
    return cursor
