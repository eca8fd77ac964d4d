"""A phone's side of the wire without the phone: signs in, numbers its commands, pushes and pulls.

It sends what it is told to, also what no honest phone would; what it sent stays in `sent`.
"""

import http.client
import json
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import UTC, datetime
from typing import Any, Self
from urllib.parse import urlsplit
from uuid import UUID

from heelwright.ids import new_id

Json = dict[str, Any]
Rows = dict[tuple[str, str], Json]
PASSWORD = "eleven brown herons"
# A busy machine is slow to answer; an answer that is lost never comes.
SECONDS_TO_ANSWER = 300


@dataclass(frozen=True)
class Reply:
    status: int
    raw: bytes

    @property
    def body(self) -> Json:
        return dict(json.loads(self.raw))


def ask(
    base_url: str,
    method: str,
    path: str,
    body: object = None,
    headers: Mapping[str, str] | None = None,
) -> Reply:
    """One request; `body` goes as it is where it is bytes, else as JSON."""
    address = urlsplit(base_url)
    connection = http.client.HTTPConnection(
        address.hostname or "", address.port, timeout=SECONDS_TO_ANSWER
    )
    sent = body if isinstance(body, bytes) or body is None else json.dumps(body).encode()
    kind = {"Content-Type": "application/json"} if sent is not None else {}
    try:
        connection.request(method, path, body=sent, headers={**kind, **(headers or {})})
        reply = connection.getresponse()
        return Reply(reply.status, reply.read())
    finally:
        connection.close()


@dataclass
class Device:
    base_url: str
    id: UUID
    token: str
    staff: UUID
    practice: UUID
    last_seq: int = 0
    sent: list[Json] = field(default_factory=list)

    @classmethod
    def sign_in(cls, base_url: str, email: str, password: str = PASSWORD) -> Self:
        login = {"email": email, "password": password}
        answer = ask(base_url, "POST", "/_allauth/app/v1/auth/login", login)
        assert answer.status == 200, answer
        session = {"X-Session-Token": answer.body["meta"]["session_token"]}
        known = {"protocol": 2, "device": str(new_id()), "name": "a phone"}
        enrolled = ask(base_url, "POST", "/api/devices", known, session)
        assert enrolled.status == 200, enrolled
        ask(base_url, "DELETE", "/_allauth/app/v1/auth/session", headers=session)
        body = enrolled.body
        staff, practice = UUID(body["staff"]["id"]), UUID(body["practice"]["id"])
        return cls(base_url, UUID(body["device"]), body["token"], staff, practice)

    def ask(self, method: str, path: str, body: object = None) -> Reply:
        bearer = {"Authorization": f"Bearer {self.token}"}
        return ask(self.base_url, method, path, body, bearer)

    def command(self, name: str, /, **args: Any) -> Json:
        """The device's next command, numbered and kept."""
        self.last_seq += 1
        plain = json.loads(json.dumps(args, default=_plain))
        made = {"id": str(new_id()), "seq": self.last_seq, "name": name, "args": plain}
        self.sent.append({**made, "made_at": datetime.now(UTC).isoformat(), "rulebook": ""})
        return self.sent[-1]

    def push(self, *commands: Json, as_device: UUID | None = None) -> Reply:
        body = {"protocol": 2, "device": str(as_device or self.id), "commands": commands}
        return self.ask("POST", "/api/push", body)

    def do(self, name: str, /, **args: Any) -> Json:
        """Pushes one command; returns its receipt."""
        answer = self.push(self.command(name, **args))
        assert answer.status == 200, answer
        return dict(answer.body["results"][0])

    def must(self, name: str, /, **args: Any) -> Json:
        receipt = self.do(name, **args)
        assert receipt["status"] == "applied", receipt
        return receipt

    def pull(self) -> Rows:
        """Everything that this device may see, fetched afresh."""
        rows: Rows = {}
        cursor: str | None = None
        while True:
            asked = {"protocol": 2, "device": str(self.id), "cursor": cursor}
            answer = self.ask("POST", "/api/pull", asked)
            assert answer.status == 200, answer
            page = answer.body
            rows |= {(row["kind"], row["id"]): row["row"] for row in page["rows"] if row["row"]}
            if not page["more"]:
                return rows
            cursor = page["cursor"]


def of_kind(rows: Rows, kind: str) -> dict[str, Json]:
    return {row_id: row for (name, row_id), row in rows.items() if name == kind}


def _plain(value: object) -> str:
    if isinstance(value, datetime):
        return value.isoformat()
    assert isinstance(value, UUID), type(value)
    return str(value)
