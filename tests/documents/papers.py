"""Asks for a letter as a phone does, and reads what is on it."""

import io
from typing import Any, cast

from django.http import HttpResponse
from django.test import Client as Browser
from pypdf import PdfReader

from tests.factories import OPEN_SORE
from tests.world import Hand, World

WOUND = {
    "id": "w1",
    "foot": "left",
    "view": "sole",
    "region": "toe_1",
    "what": "wound",
    "length_mm": 6,
    "depth_mm": None,
    "state": "open",
    "bleeding": False,
    "oozing": True,
    "note": "under the big toe",
}


def referred(world: World, client: str | None = None, **finding: Any) -> str:
    """A technician sees an open sore; returns the id of the referral."""
    hand = world.technician
    whom = client or world.client
    screen = hand.screen(whom)
    return hand.check(whom, screen, OPEN_SORE, findings=[{**WOUND, **finding}])


def asked_for(hand: Hand | None, referral: str, paper: str = "referral_letter") -> HttpResponse:
    headers = {"Authorization": f"Bearer {hand.token}"} if hand else {}
    answer = Browser().get(f"/api/documents/{paper}/{referral}", headers=headers)
    return cast("HttpResponse", answer)


def words_of(pdf: bytes) -> str:
    """All text of all pages, spaces and line ends made one."""
    return " ".join(" ".join(p.extract_text() for p in PdfReader(io.BytesIO(pdf)).pages).split())
