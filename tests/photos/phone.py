"""A phone that takes photos and sends their pictures, through Django's test client."""

import hashlib
from base64 import b64encode
from pathlib import Path
from typing import Any

from django.core.files.storage import storages
from django.test import Client

from tests.factories import PICTURE, decision, photo_args, sheet_args
from tests.world import Hand

# By the protocol (docs/sync.md), not by the code.
PART = 256 * 1024
PARTS = [PICTURE[at : at + PART] for at in range(0, len(PICTURE), PART)]


class Camera:
    def __init__(self, hand: Hand) -> None:
        self.hand = hand
        self.client = Client(raise_request_exception=False)

    def take(self, client: str, **more: Any) -> str:
        args = photo_args(**{"client": client, "taken_at": self.hand.stamp(), **more})
        self.hand.do("record_photo", args)
        return str(args["photo"])

    def put(self, photo: str, number: int, part: bytes, **headers: str) -> Any:
        return self._ask(
            "put",
            f"{photo}/parts/{number}",
            data=part,
            content_type="application/octet-stream",
            headers={"Content-Digest": digest(part), **headers},
        )

    def whole(self, photo: str) -> Any:
        return self._ask("post", f"{photo}/whole")

    def parts(self, photo: str) -> Any:
        return self._ask("get", f"{photo}/parts")

    def picture(self, photo: str) -> Any:
        return self._ask("get", photo)

    def send(self, photo: str) -> Any:
        for number, part in enumerate(PARTS, 1):
            answer = self.put(photo, number, part)
            assert answer.status_code == 200, answer.content
        return self.whole(photo)

    def sent(self, client: str, **more: Any) -> str:
        photo = self.take(client, **more)
        assert self.send(photo).status_code == 200
        return photo

    def _ask(self, method: str, path: str, **more: Any) -> Any:
        headers = {"Authorization": f"Bearer {self.hand.token}", **more.pop("headers", {})}
        return getattr(self.client, method)(f"/api/photos/{path}", headers=headers, **more)


def digest(part: bytes) -> str:
    """RFC 9530 section 2, from memory."""
    return f"sha-256=:{b64encode(hashlib.sha256(part).digest()).decode()}:"


def agree(hand: Hand, client: str, agreed: bool = True, **more: Any) -> str:
    """A yes or a no to photos; returns the consent."""
    photos = decision("photos", agreed)
    decisions = [decision("foot_care"), photos]
    args = {"client": client, "decided_at": hand.stamp(), "decisions": decisions, **more}
    hand.do("record_consent_sheet", sheet_args(**args))
    return str(photos["consent"])


def files() -> list[Path]:
    """What lies in the storage."""
    return [path for path in Path(storages["photos"].location).rglob("*") if path.is_file()]  # type: ignore[attr-defined]
