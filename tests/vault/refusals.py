"""A refusal inside a transaction that goes on afterwards."""

from collections.abc import Iterator
from contextlib import contextmanager

import pytest
from django.db import transaction


@contextmanager
def refused(error: type[Exception], match: str | None = None) -> Iterator[None]:
    """The block must raise; what it wrote is rolled back, as a refused command's is."""
    with pytest.raises(error, match=match), transaction.atomic():
        yield
