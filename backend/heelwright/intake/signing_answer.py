"""What a client's own phone answers, as the sheet that a technician's phone would have sent."""

from datetime import datetime
from typing import Annotated, Any

from pydantic import AfterValidator, AwareDatetime, BaseModel, ConfigDict, Field, StringConstraints

from heelwright.commandlog.device_clock import Telling
from heelwright.commandlog.validation import parse
from heelwright.commandlog.wire import Envelope, Text, on_the_calendar
from heelwright.declarations import Refused
from heelwright.intake.signed import Presented, RecordConsentSheet, Sha256, Strokes, TextId
from heelwright.intake.signing import ANSWERS_FOR
from heelwright.intake.signing_models import SigningOffer
from heelwright.rulebook import Book
from heelwright.rulebook.consent_texts import hash_of

COPIED = (
    "sheet signer_name signer_role ground authority capacity witness own_wish place_kind place"
).split()
# Where in the answer that lies of which a sheet can be refused as a whole.
FIELDS = {"no_signature": "strokes", "twice": "answers"}
# 32 random bytes in base64url (RFC 4648 section 5), without padding.
Secret = Annotated[str, StringConstraints(pattern=r"^[A-Za-z0-9_-]{43}$")]


class SignOpen(BaseModel):
    """`token` is what the link holds; `phone` a secret that the client's phone made itself."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    token: Secret
    phone: Secret


class SignedText(BaseModel):
    """A yes or a no to one text. One that was not answered is not told of."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    text_id: TextId
    agreed: bool


class SignDone(SignOpen):
    """`shown_sha256` is the phone's digest of what it showed, see `shown.py`. Who says no to all
    need not sign: then `signed` is false, and `strokes` counts for nothing."""

    language: Annotated[str, Field(pattern=r"^[a-z]{2,3}$")]
    presented: Presented
    answers: list[SignedText] = Field(min_length=1, max_length=20)
    signed: bool
    strokes: Strokes
    said: Text
    shown_sha256: Sha256
    decided_at: Annotated[AwareDatetime, AfterValidator(on_the_calendar)]


def envelope_of(offer: SigningOffer, done: SignDone, book: Book, opened_at: datetime) -> Envelope:
    """The one command of a link. The same answer makes the same, whenever it comes.

    Nothing was decided before the server showed the texts, nor after it takes no more answers: by
    that phone's clock alone a yes could cover work of long before. Raises Refused.
    """
    decided_at = min(max(done.decided_at, opened_at), offer.open_until + ANSWERS_FOR)
    told = {
        "client": str(offer.card),
        "device_kind": "client_phone",
        "how": offer.how if done.signed else "unsigned",
        "strokes": done.model_dump()["strokes"] if done.signed else [],
        "decisions": [_decision(offer, done, book, place) for place in range(len(done.answers))],
        "decided_at": decided_at.isoformat(),
        **done.model_dump(include={"language", "presented", "said", "shown_sha256"}),
        **{name: getattr(offer, name) for name in COPIED},
    }
    return Envelope(
        id=offer.answer,
        seq=1,
        name="record_consent_sheet",
        args=_checked(told, decided_at),
        made_at=decided_at,
        rulebook=offer.rulebook,
    )


def _decision(offer: SigningOffer, done: SignDone, book: Book, place: int) -> dict[str, Any]:
    answer = done.answers[place]
    one = next((text for text in offer.texts if text["text_id"] == answer.text_id), None)
    if one is None:
        raise Refused(
            "text_not_offered",
            "The answer is to a text that was not asked.",
            "Open the link again.",
            field=f"answers.{place}.text_id",
        )
    hashed = hash_of(book.content, one["text_id"], one["version"], done.language)
    if hashed is None:
        raise Refused(
            "language_unknown",
            "The text is not there in this language.",
            "Choose another language.",
            field="language",
        )
    return {**one, "text_hash": hashed, "agreed": answer.agreed}


def _checked(told: dict[str, Any], at: datetime) -> dict[str, Any]:
    """As a technician's phone is held to it, before anything is written."""
    try:
        sheet = parse(RecordConsentSheet, told, Telling(at, at))
    except Refused as no:
        field = FIELDS.get(no.code, no.field)
        raise Refused(no.code, no.text, no.remedy, field=field) from None
    return sheet.model_dump(mode="json")
