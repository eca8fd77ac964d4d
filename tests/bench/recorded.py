"""What the real server says to a phone, recorded once, so that each peer moves the same rows.

Sign-in, the pages of a first pull, an idle pull, a receipt and the rulebook, as they come over the
wire for a practice of invented clients. Kept in `var/bench`; `--record` records it anew.
"""

import json
from pathlib import Path

from heelwright.commandlog.protocol import PROTOCOL
from heelwright.ids import new_id
from tests.services.served import ROOT, ServedApp
from tests.system.device import PASSWORD, Device, Json, ask

FILE = ROOT / "var" / "bench" / "recorded.json"


def record(app: ServedApp, owner: Device, email: str) -> Path:
    """Writes down what a second phone of the owner hears."""
    heard = _sign_in(app.base_url, email)
    phone = _phone(app.base_url, heard["enrolled"], owner)
    pages = _pages(phone)
    heard |= {"pages": pages, "newest": max(row["version"] for row in pages[-1]["rows"])}
    heard["rulebook"] = phone.ask("GET", f"/api/rulebook?protocol={PROTOCOL}").body
    heard["idle"] = _pull(phone, pages[-1]["cursor"])
    note = {"client": pages[0]["rows"][-1]["id"], "seen": 0, "changes": {"note": ""}}
    heard["pushed"] = phone.push(phone.command("amend_client", **note)).body
    FILE.parent.mkdir(parents=True, exist_ok=True)
    FILE.write_text(json.dumps(heard))
    return FILE


def _sign_in(base_url: str, email: str) -> Json:
    credentials = {"email": email, "password": PASSWORD}
    login = ask(base_url, "POST", "/_allauth/app/v1/auth/login", credentials).body
    session = {"X-Session-Token": login["meta"]["session_token"]}
    known = {"protocol": PROTOCOL, "device": str(new_id()), "name": "a phone"}
    enrolled = ask(base_url, "POST", "/api/devices", known, session).body
    return {"login": login, "enrolled": enrolled}


def _phone(base_url: str, enrolled: Json, owner: Device) -> Device:
    return Device(base_url, enrolled["device"], enrolled["token"], owner.staff, owner.practice)


def _pages(phone: Device) -> list[Json]:
    pages = [_pull(phone, None)]
    while pages[-1]["more"]:
        pages.append(_pull(phone, pages[-1]["cursor"]))
    return pages


def _pull(phone: Device, cursor: str | None) -> Json:
    asked = {"protocol": PROTOCOL, "device": str(phone.id), "cursor": cursor}
    answer = phone.ask("POST", "/api/pull", asked)
    assert answer.status == 200, answer
    return answer.body


def rows_held(file: Path = FILE) -> int:
    """How many rows there are to fetch."""
    return sum(len(page["rows"]) for page in json.loads(file.read_text())["pages"])
