"""A link that lets a client sign on their own phone: offered, and taken back."""

import secrets
from datetime import timedelta

from heelwright.commandlog.act import Act, fresh_id
from heelwright.commandlog.registry import command
from heelwright.declarations import Power, Refused
from heelwright.ids import new_id
from heelwright.intake.models import Consent, ConsentSheet
from heelwright.intake.records import by
from heelwright.intake.signed import EndSigning, OfferSigning, SheetText
from heelwright.intake.signing_models import SigningOffer
from heelwright.people.access import client_for
from heelwright.people.books import book_of
from heelwright.rulebook import Book
from heelwright.rulebook.consent_texts import hash_of
from heelwright.tenancy.models import Device

OPEN_FOR = timedelta(minutes=60)
ANSWERS_FOR = timedelta(days=7)


@command(Power.PERMISSION, OfferSigning)
def offer_signing(act: Act, args: OfferSigning) -> None:
    client = client_for(act, args.client)
    _all_new(args)
    act.not_ahead(args.offered_at, "offered_at")
    book = book_of(act.practice)
    for place, one in enumerate(args.texts):
        _in_the_book(book, args.language, one, f"texts.{place}.text_hash")
    told = args.model_dump(exclude={"offer", "client", "texts"})
    texts = [
        one.model_dump(mode="json") | {"purpose": book.purpose_of(one.text_id)}
        for one in args.texts
    ]
    device = Device(
        id=args.offer,
        practice=act.practice,
        staff=act.staff,
        token_digest=secrets.token_bytes(32),
        enrolled_at=act.now,
        save_unsent=True,
        answers_until=act.now + OPEN_FOR + ANSWERS_FOR,
    )
    device.save()
    offer = SigningOffer(
        id=args.offer,
        offered_from=act.device,
        card=args.client,
        answer=new_id(),
        open_until=act.now + OPEN_FOR,
        texts=texts,
        **told,
        **by(act, client),
    )
    act.put(offer)


def _all_new(args: OfferSigning) -> None:
    fresh_id(SigningOffer, args.offer, "offer")
    fresh_id(Device, args.offer, "offer")
    fresh_id(ConsentSheet, args.sheet, "sheet")
    for one in args.texts:
        fresh_id(Consent, one.consent, "texts")
    for field in ("sheet", "token_sha256"):
        if SigningOffer.objects.filter(**{field: getattr(args, field)}).exists():
            raise Refused("id_taken", "This link is in use.", "Make a new link.", field)


def _in_the_book(book: Book, language: str, one: SheetText, field: str) -> None:
    """Raise Refused for words that the server could not show."""
    if hash_of(book.content, one.text_id, one.version, language) != one.text_hash:
        raise Refused(
            "text_unknown",
            "The server does not have these words.",
            "Update the app, sync, then make a new link. Or sign on this phone.",
            field=field,
        )


@command(Power.REPORT, EndSigning)
def end_signing(act: Act, args: EndSigning) -> None:
    """Whatever still comes by the link is kept, and frees nobody."""
    offer = SigningOffer.objects.filter(practice=act.practice, pk=args.offer).first()
    if offer is None:
        raise Refused("not_found", "This link was not found.", "Sync, look again.", "offer")
    client_for(act, offer.client_id, field="offer")
    act.not_ahead(args.ended_at, "ended_at")
    end(act, offer)


def end(act: Act, offer: SigningOffer) -> None:
    """From now on, by the server's clock; where it has ended already, that stands."""
    if Device.objects.filter(pk=offer.pk, revoked_at=None).update(revoked_at=act.now):
        act.announce(offer)
