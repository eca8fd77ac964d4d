"""What a pull costs the server: queries and bytes, counted in this process on the served database.

Without time: a query count is the same on any machine.
"""

import json
from dataclasses import dataclass

from tests.system.device import Device


@dataclass(frozen=True)
class Pull:
    queries: int
    beyond_sign_in: int
    size: int
    rows: int
    pages: int


def first_and_idle(device: Device) -> tuple[Pull, Pull]:
    """A first pull to its last page, then one more when nothing has changed."""
    cursor: str | None = None
    pages: list[tuple[int, int, int]] = []
    while True:
        queries, size, page = _ask(device, cursor)
        pages.append((queries, size, len(page["rows"])))
        cursor = str(page["cursor"])
        if not page["more"]:
            break
    queries, sizes, rows = (sum(column) for column in zip(*pages, strict=True))
    idle, size, page = _ask(device, cursor)
    assert not page["rows"]
    first = Pull(queries, queries - len(pages), sizes, rows, len(pages))
    return first, Pull(idle, idle - 1, size, 0, 1)


def _ask(device: Device, cursor: str | None) -> tuple[int, int, dict[str, list[object]]]:
    from django.db import connection
    from django.test import Client
    from django.test.utils import CaptureQueriesContext

    body = {"device": str(device.id), "cursor": cursor}
    with CaptureQueriesContext(connection) as captured:
        answer = Client().post(
            "/api/pull",
            json.dumps(body),
            content_type="application/json",
            headers={"Authorization": f"Bearer {device.token}", "Host": "localhost"},
        )
    assert answer.status_code == 200, answer.content
    return len(captured), len(answer.content), json.loads(answer.content)
