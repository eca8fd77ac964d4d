"""Row ids. Time-ordered (UUIDv7, RFC 9562), so that new rows sit together in an index."""

from uuid import UUID

import uuid_utils


def new_id() -> UUID:
    """A fresh UUIDv7."""
    return UUID(bytes=uuid_utils.uuid7().bytes)
