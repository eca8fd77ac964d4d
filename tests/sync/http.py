"""A phone that speaks HTTP to the whole application, through Django's test client."""

import json
from typing import Any

from django.http import HttpResponse
from django.test import Client

from tests.world import Hand


class Wire:
    """Posts raw bodies as well as good ones; cookies are kept, as a browser would."""

    def __init__(self, hand: Hand) -> None:
        self.hand = hand
        self.client = Client(raise_request_exception=False, enforce_csrf_checks=True)

    def post(self, path: str, body: Any, token: str | None = "", **more: Any) -> HttpResponse:
        """`token` "" is the hand's own, None is none. Bytes go as they are, all else as JSON."""
        data = body if isinstance(body, bytes) else json.dumps(body).encode()
        headers = {**self.authorization(token), **more.pop("headers", {})}
        content_type = more.pop("content_type", "application/json")
        return self.client.post(path, data=data, content_type=content_type, headers=headers, **more)  # type: ignore[return-value]

    def authorization(self, token: str | None = "") -> dict[str, str]:
        return {} if token is None else {"Authorization": f"Bearer {token or self.hand.token}"}

    def command(self, name: str, args: dict[str, Any], **more: Any) -> dict[str, Any]:
        envelope = self.hand.envelope(name, args).model_dump(mode="json")
        return {**envelope, **more}

    def push(self, *commands: Any, **more: Any) -> HttpResponse:
        body = {"protocol": 2, "device": str(self.hand.device.pk), "commands": list(commands)}
        return self.post("/api/push", body, **more)

    def pull(self, cursor: Any = None, **more: Any) -> HttpResponse:
        body = {"protocol": 2, "device": str(self.hand.device.pk), "cursor": cursor}
        return self.post("/api/pull", body, **more)

    def rulebook(self, protocol: Any = 2, **headers: str) -> HttpResponse:
        path = f"/api/rulebook?protocol={protocol}"
        return self.client.get(path, headers={**self.authorization(), **headers})  # type: ignore[return-value]


def told(response: HttpResponse) -> dict[str, Any]:
    """The typed error of an answer; fails where it is a bare page or misses a part."""
    assert 400 <= response.status_code < 500, (response.status_code, response.content[:300])
    error: dict[str, Any] = json.loads(response.content)
    assert {"code", "field", "text", "remedy"} <= set(error), error
    assert error["code"]
    assert error["text"]
    assert error["remedy"]
    return error
