"""Calendars as another program reads them: ical.js, which shares nothing with the writer."""

import json
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from tests.parity.node import node

HERE = Path(__file__).parent


def read_by_another(texts: Sequence[bytes], folder: Path, *zones: str) -> list[dict[str, Any]]:
    """What each text says. A time is a list: in UTC, then by the clock of each zone; a day is a
    text."""
    given, out = folder / "calendars.json", folder / "read.json"
    given.write_text(json.dumps([text.decode() for text in texts]))
    node(HERE / "read_calendars.mjs", given, out, *zones)
    read: list[dict[str, Any]] = json.loads(out.read_text())
    return read
