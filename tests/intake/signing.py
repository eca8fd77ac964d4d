"""A client's own phone: it opens a link and answers, over HTTP, and keeps a secret of its own."""

import hashlib
import secrets
from datetime import datetime
from typing import Any

import pytest
from django.core.cache import cache
from django.http import HttpResponse

from heelwright import clock
from heelwright.intake.shown import Shown, ShownText, digest
from tests.factories import offer_args
from tests.sync.http import Wire
from tests.world import Hand, World


class Link:
    """What a technician shows as a picture to scan, and the time of the server meanwhile."""

    def __init__(self, hand: Hand, **more: Any) -> None:
        self.hand, self.token = hand, secrets.token_urlsafe(32)
        hashed = hashlib.sha256(self.token.encode()).hexdigest()
        self.args = offer_args(**{"offered_at": hand.stamp(), "token_sha256": hashed, **more})

    def offered(self) -> "Link":
        self.hand.do("offer_signing", self.args)
        return self

    def ended(self) -> None:
        ended_at = self.hand.stamp()
        self.hand.do("end_signing", {"offer": self.args["offer"], "ended_at": ended_at})


class ClientPhone:
    """Scans a link. `opened` is what it was shown."""

    def __init__(self, link: Link) -> None:
        self.link, self.wire = link, Wire(link.hand)
        self.secret = secrets.token_urlsafe(32)
        self.opened: dict[str, Any] = {}

    def post(self, path: str, body: Any, **more: Any) -> HttpResponse:
        return self.wire.post(f"/api/sign/{path}", body, token=None, **more)

    def open(self, **more: Any) -> HttpResponse:
        response = self.post("open", {"token": self.link.token, "phone": self.secret, **more})
        if response.status_code == 200:
            self.opened = response.json()  # type: ignore[attr-defined]
        return response

    def answer(self, agreed: bool = True, **more: Any) -> dict[str, Any]:
        """The body of an answer to all that was shown, alike to each text."""
        language = more.get("language", self.opened["language"])
        texts = self.opened["texts"][language]
        at = datetime.fromisoformat(self.link.hand.stamp())
        told = {
            "token": self.link.token,
            "phone": self.secret,
            "language": language,
            "presented": "large_print",
            "answers": [{"text_id": text["id"], "agreed": agreed} for text in texts],
            "signed": True,
            "strokes": [[{"x": n, "y": n, "t": n} for n in range(4)]],
            "said": "",
            "decided_at": at.isoformat(),
            **more,
        }
        return {"shown_sha256": self.shown(told), **told}

    def shown(self, told: dict[str, Any]) -> str:
        """By what it was shown, as the page makes it: not by the server's own book."""
        by_id = {text["id"]: text for text in self.opened["texts"][told["language"]]}
        texts = [
            ShownText(text["id"], text["version"], text["title"], text["words"], one["agreed"])
            for one in told["answers"]
            if (text := by_id.get(one["text_id"])) is not None
        ]
        signer = {name: self.opened[name] for name in SIGNER}
        return digest(Shown(told["language"], told["presented"], **signer, texts=texts))

    def done(self, agreed: bool = True, **more: Any) -> HttpResponse:
        return self.post("done", self.answer(agreed, **more))


SIGNER = ("signer_name", "signer_role", "ground", "authority")


@pytest.fixture(autouse=True)
def no_tries_before() -> None:
    cache.clear()


@pytest.fixture
def link(world: World, monkeypatch: pytest.MonkeyPatch) -> Link:
    """Offered to the client of the technician; the server's clock goes with the technician's."""
    monkeypatch.setattr(clock, "now", lambda: world.technician.now)
    return Link(world.technician, client=world.client).offered()


@pytest.fixture
def phone(link: Link) -> ClientPhone:
    return ClientPhone(link)
