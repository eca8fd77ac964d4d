"""What a link for a client's own phone shows, and the one phone that it is for.

The link is its own proof: 32 random bytes, of which only the SHA-256 is here. Nothing but the
sitting that it was made for is told by it.
"""

import hashlib
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime
from typing import Any

from heelwright import vault
from heelwright.commandlog.act import Act
from heelwright.commandlog.models import CommandRecord
from heelwright.declarations import Power, Refused
from heelwright.ids import new_id
from heelwright.intake.records import by
from heelwright.intake.signing import end
from heelwright.intake.signing_models import SigningOffer, SigningOpening
from heelwright.rulebook import Book
from heelwright.rulebook.consent_texts import shown_as
from heelwright.tenancy.models import Device, Practice


class LinkUnknown(Refused):
    """404: mistyped, or the technician's phone has not sent it yet."""

    def __init__(self) -> None:
        super().__init__(
            "link_unknown",
            "This link is not known yet.",
            "Wait a little, then try again. If it stays so, ask your technician for a new link.",
            field="token",
        )


class LinkOver(Refused):
    """410: it was taken back, or its time is over."""

    def __init__(self) -> None:
        super().__init__(
            "link_over", "This link has ended.", "Ask your technician for a new link.", "token"
        )


class LinkTaken(Refused):
    """409: it belongs to the phone that opened it first."""

    def __init__(self) -> None:
        super().__init__(
            "link_taken",
            "This link was opened on another phone.",
            "Go on with that phone, or ask your technician for a new link.",
            field="phone",
        )


class LinkAnswered(Refused):
    """409: the answer is here."""

    def __init__(self) -> None:
        super().__init__(
            "link_answered",
            "Your answer is here already.",
            "Nothing more needs doing. To change it, tell your technician.",
            field="token",
        )


def offer_of(token: str) -> SigningOffer:
    offer = SigningOffer.objects.filter(token_sha256=_sha256(token)).first()
    if offer is None:
        raise LinkUnknown
    return offer


@contextmanager
def purged_is_over() -> Iterator[None]:
    """Of a client whose key was destroyed there is nothing left to show, and nothing to take."""
    try:
        yield
    except vault.SubjectShredded:
        raise LinkOver from None


def _sha256(secret: str) -> str:
    return hashlib.sha256(secret.encode()).hexdigest()


def act_for(practice: Practice, offer: SigningOffer, now: datetime) -> Act:
    """What is done by the link, under the practice's lock: as the one who offered it."""
    device = Device.objects.select_related("staff").get(pk=offer.pk)
    return Act(practice, device.staff, device, Power.REPORT, made_at=now, now=now)


def is_answered(offer: SigningOffer) -> bool:
    return CommandRecord.objects.filter(device=offer.pk).exists()


def shut(act: Act, offer: SigningOffer) -> bool:
    """Whether it has ended. It ends with the phone that made it, and with its person's work here:
    whoever has that phone in hand has the link as well."""
    made_by = offer.offered_from
    if made_by.revoked_at is not None or not act.staff.is_active:
        end(act, offer)
        act.device.refresh_from_db(fields=["revoked_at"])
    return act.device.revoked_at is not None


def bound(act: Act, offer: SigningOffer, phone: str) -> SigningOpening:
    """The opening of this phone: made where it is the first, and the link still opens."""
    known = SigningOpening.objects.filter(offer=offer).first()
    if known is not None:
        if known.phone_sha256 != _sha256(phone):
            raise LinkTaken
        return known
    if shut(act, offer) or act.now >= offer.open_until:
        raise LinkOver
    opening = SigningOpening(
        id=new_id(),
        offer=offer,
        phone_sha256=_sha256(phone),
        opened_at=act.now,
        **by(act, offer.client),
    )
    opening.save()
    act.announce(offer)
    return opening


def shown(offer: SigningOffer, book: Book) -> dict[str, Any]:
    """All that a link shows."""
    texts = {language: _texts(offer, book, language) for language in book.content.words}
    whole = {code: found for code, found in texts.items() if len(found) == len(offer.texts)}
    for_client = offer.signer_role == "client"
    return {
        "signer_name": offer.signer_name,
        "signer_role": offer.signer_role,
        "ground": offer.ground,
        "authority": offer.authority,
        "client_first_name": "" if for_client else _first_name(offer.client.name),
        "how": offer.how,
        "language": offer.language,
        "languages": list(whole),
        "texts": whole,
        "open_until": offer.open_until,
        "practice_name": offer.practice.name,
        "technician_name": offer.staff.name,
    }


def _first_name(name: str) -> str:
    """Empty for one that has no letter to be read."""
    return next(iter(name.split()), "")


def _texts(offer: SigningOffer, book: Book, language: str) -> list[dict[str, Any]]:
    found = []
    for one in offer.texts:
        words = shown_as(book.content, one["text_id"], one["version"], language)
        if words is not None:
            text = {"id": one["text_id"], "purpose": one["purpose"], "version": one["version"]}
            found.append({**text, "title": words[0], "words": words[1]})
    return found
