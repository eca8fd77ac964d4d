"""Log lines without data: an exception is told by its type and where it rose, never by its message.

Messages of exceptions quote what people typed (a database's constraint error, a validator's input).
"""

import logging
import re
import traceback
from http import HTTPStatus
from types import TracebackType

# What follows is the secret of a calendar link: a calendar app can send nothing but an address.
CALENDAR = re.compile(r"(/api/calendar/)[^\s'\"]*")


class NotToldBefore(logging.Filter):
    """Leaves out that an answer was a 503: the trouble behind it has a line of its own, and an app
    that is newer than the server is none."""

    def filter(self, record: logging.LogRecord) -> bool:
        return getattr(record, "status_code", None) != HTTPStatus.SERVICE_UNAVAILABLE


class BareFormatter(logging.Formatter):
    """Time, level, logger and a constant message; of an exception only type and frames; of the
    address of a calendar nothing that opens it."""

    def __init__(self) -> None:
        super().__init__("%(asctime)s %(levelname)s %(name)s %(message)s")

    def format(self, record: logging.LogRecord) -> str:
        return CALENDAR.sub(r"\1...", super().format(record))

    def formatException(  # noqa: N802 - the name is logging's
        self,
        ei: tuple[type[BaseException], BaseException, TracebackType | None]
        | tuple[None, None, None],
    ) -> str:
        kind, _, trace = ei
        frames = "".join(traceback.format_tb(trace))
        return f"{kind.__name__ if kind else 'no exception'} (message left out)\n{frames}"
