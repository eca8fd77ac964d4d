"""A client signs on their own phone, by a link: what it shows, and the answer that comes back.

Nobody is signed in here. The answer goes the one way of all work, as the one command of the link's
own device: sent again it is the same, and another one after it is seen.
"""

from datetime import datetime
from typing import Literal

from django.db import transaction
from django.http import HttpRequest
from ninja import Router
from pydantic import BaseModel

from heelwright import clock, vault
from heelwright.commandlog.history import writing
from heelwright.commandlog.receive import DeviceCloned, receive
from heelwright.commandlog.validation import check_characters
from heelwright.commandlog.wire import Envelope
from heelwright.intake.models import Consent
from heelwright.intake.signed import Signer
from heelwright.intake.signing_answer import SignDone, SignOpen, envelope_of
from heelwright.intake.signing_link import (
    LinkAnswered,
    LinkOver,
    act_for,
    bound,
    is_answered,
    offer_of,
    purged_is_over,
    shown,
    shut,
)
from heelwright.intake.signing_models import SigningOffer
from heelwright.people.books import book_of
from heelwright.rulebook.schema import Purpose
from heelwright.tenancy.models import Device
from heelwright.tenancy.signin import DeviceRevoked, PerAddress

router = Router(tags=["sign"], throttle=PerAddress("sign"))


class ShownWords(BaseModel):
    id: str
    purpose: Purpose
    version: int
    title: str
    words: str


class SignOpened(BaseModel):
    """All that a link shows. `texts` are by language; `client_first_name` is empty where the client
    signs for themselves. Who asks is named, so that whoever gets the link can tell that it is
    meant."""

    signer_name: str
    signer_role: Signer
    ground: str
    authority: str
    client_first_name: str
    how: Literal["drawn", "mark"]
    language: str
    languages: list[str]
    texts: dict[str, list[ShownWords]]
    open_until: datetime
    practice_name: str
    technician_name: str


class SignReceived(BaseModel):
    """`counts` is false where a yes came by a link that had ended: it is kept, and holds for
    nothing."""

    received: Literal[True] = True
    counts: bool


@router.post("/open", response=SignOpened)
def open_signing(request: HttpRequest, asked: SignOpen) -> SignOpened:  # noqa: ARG001 - ninja's
    """Show what is to be decided, to the first phone that asks and to no other."""
    now, offer = clock.now(), offer_of(asked.token)
    with purged_is_over(), writing(now, pk=offer.practice_id) as practice, vault.unit():
        act = act_for(practice, offer, now)
        if is_answered(offer):
            raise LinkAnswered
        if shut(act, offer) or now >= offer.open_until:
            raise LinkOver
        bound(act, offer, asked.phone)
        return SignOpened.model_validate(shown(offer, book_of(practice)))


@router.post("/done", response=SignReceived)
def answer_signing(request: HttpRequest, done: SignDone) -> SignReceived:  # noqa: ARG001 - ninja's
    """Take the answer, from the phone that opened the link. What becomes of it, the owner is told,
    and not who answers."""
    check_characters(done.model_dump(exclude={"strokes"}, mode="json"))
    now, offer = clock.now(), offer_of(done.token)
    try:
        with purged_is_over(), transaction.atomic():
            envelope = _composed(offer, done, now)
            (receipt,) = receive(offer.pk, [envelope], now).receipts
            if receipt.status != "already_applied":
                _tell(offer, now)
    except DeviceCloned:
        raise LinkAnswered from None
    except DeviceRevoked:
        # Its time is over: whoever asks again after an answer that came in is told so.
        raise (LinkAnswered if is_answered(offer) else LinkOver) from None
    return SignReceived(counts=not _came_too_late(offer))


def _came_too_late(offer: SigningOffer) -> bool:
    ended = Device.objects.filter(pk=offer.pk, revoked_at__isnull=False).exists()
    void = Consent.objects.filter(sheet=offer.sheet, agreed=True, counts=False)
    return ended and void.exists()


def _composed(offer: SigningOffer, done: SignDone, now: datetime) -> Envelope:
    with writing(now, pk=offer.practice_id) as practice, vault.unit():
        act = act_for(practice, offer, now)
        opened_at = bound(act, offer, done.phone).opened_at
        shut(act, offer)
        return envelope_of(offer, done, book_of(practice), opened_at)


def _tell(offer: SigningOffer, now: datetime) -> None:
    with writing(now, pk=offer.practice_id) as practice:
        act_for(practice, offer, now).announce(offer)
