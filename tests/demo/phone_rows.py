"""What the first technician's phone gets of the loaded practice for a packing list: the kit, the
bookings of today and tomorrow, and who is visited.

`packing.json` holds it, for pwa/src/routes/kit-packing/demo.test.ts. HEELWRIGHT_WRITE=1 has the
test write it anew.
"""

import json
import os
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path
from typing import Any

from heelwright.sync import cursor as cursors
from heelwright.sync.pull import PulledRow, pull
from heelwright.tenancy.models import Device, Staff
from tests.demo.conftest import NOW

FILE = Path(__file__).with_name("packing.json")
WHOLE = {"kit_thing", "kit_load", "kit_solution", "machine_check"}
OF_CLIENTS = {"client", "health_screen", "foot_check", "referral", "clearance"}
# What a person is judged by is the newest of each.
NEWEST = {"health_screen": "screened_at", "foot_check": "checked_at"}

Kept = dict[str, list[dict[str, Any]]]


def rows_for_packing(email: str) -> dict[str, Any]:
    me = Staff.objects.get(email=email)
    rows = [row for row in _pulled(me) if row.row is not None]
    days = {(NOW + timedelta(days=ahead)).date().isoformat() for ahead in (0, 1)}
    bookings = [
        row
        for row in rows
        if row.kind == "booking"
        and row.row
        and row.row["staff"] == str(me.pk)
        and str(row.row["starts_at"])[:10] in days
    ]
    clients = {str(row.row["client"]) for row in bookings if row.row}
    kept: Kept = {kind: [] for kind in sorted({*WHOLE, *OF_CLIENTS})}
    kept["booking"] = [_held(row) for row in bookings]
    for row in rows:
        whose = str(row.id) if row.kind == "client" else str((row.row or {}).get("client"))
        if row.kind in WHOLE or (row.kind in OF_CLIENTS and whose in clients):
            kept[row.kind].append(_held(row))
    for kind, at in NEWEST.items():
        newest: dict[str, dict[str, Any]] = {}
        for held in sorted(kept[kind], key=lambda held: str(held["row"][at])):
            newest[held["row"]["client"]] = held
        kept[kind] = list(newest.values())
    for those in kept.values():
        those.sort(key=lambda each: str(each["id"]))
    return _named({"now": NOW.isoformat(), "me": str(me.pk), "rows": kept})


def _pulled(me: Staff) -> Iterator[PulledRow]:
    device = Device.objects.select_related("staff", "practice").filter(staff=me).latest("pk")
    after, more = None, True
    while more:
        page = pull(device, after, NOW)
        yield from page.rows
        after, more = cursors.read(page.cursor), page.more


def _held(row: PulledRow) -> dict[str, Any]:
    return {"id": str(row.id), "row": row.row}


def _named(found: dict[str, Any]) -> dict[str, Any]:
    """Who founded the practice has another id each time it is loaded."""
    owner = Staff.objects.get(role="owner")
    text = json.dumps(found, ensure_ascii=False, default=str)
    named: dict[str, Any] = json.loads(text.replace(str(owner.pk), "owner"))
    return named


def on_file(found: dict[str, Any]) -> Any:
    if os.environ.get("HEELWRIGHT_WRITE"):
        text = json.dumps(found, ensure_ascii=False, separators=(",", ":"), sort_keys=True)
        FILE.write_text(text.replace('},{"id"', '},\n{"id"') + "\n", encoding="utf-8")
    return json.loads(FILE.read_text(encoding="utf-8"))
