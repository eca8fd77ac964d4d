"""How long a test runs: short in `make test`, long in `make long`, by one environment variable."""

import os

LONG = os.environ.get("HEELWRIGHT_RUN") == "long"


def runs(short: int, long: int) -> int:
    """How many cases to try. Both tiers run the same test; only the number differs."""
    return long if LONG else short
