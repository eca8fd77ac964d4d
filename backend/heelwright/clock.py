"""The one place that reads the time. Everything else takes it as an argument."""

from datetime import UTC, datetime


def now() -> datetime:
    """The current moment, aware, in UTC."""
    return datetime.now(UTC)
