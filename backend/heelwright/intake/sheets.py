"""A sitting at which a client, or who decides for them, says yes or no to each text."""

from collections.abc import Iterator
from contextlib import AbstractContextManager, nullcontext

from heelwright.commandlog.act import Act, fresh_id
from heelwright.commandlog.registry import command
from heelwright.declarations import Power
from heelwright.intake.late import on_record
from heelwright.intake.models import Consent, ConsentSheet
from heelwright.intake.records import by
from heelwright.intake.shown import Shown, ShownText, digest
from heelwright.intake.signature import picture
from heelwright.intake.signed import RecordConsentSheet, TextDecision
from heelwright.people.access import client_for
from heelwright.people.books import book_of
from heelwright.people.models import Client
from heelwright.rulebook import Book
from heelwright.rulebook.consent_texts import shown_as

COPIED = ("signer_name", "signer_role", "authority", "witness", "presented", "own_wish")


@command(Power.REPORT, RecordConsentSheet)
def record_consent_sheet(act: Act, args: RecordConsentSheet) -> None:
    """From a client's own phone whose link has ended, a yes is kept and counts for nothing; a no
    beside it counts."""
    client = client_for(act, args.client)
    if act.device.is_of_staff and any(one.agreed for one in args.decisions):
        act.frees()
    fresh_id(ConsentSheet, args.sheet, "sheet")
    for one in args.decisions:
        fresh_id(Consent, one.consent, "decisions")
    act.not_ahead(args.decided_at, "decided_at")
    sheet = _sheet(act, client, args)
    sheet.save()
    with _as_it_may_hold(act, client, args):
        rows = [_decided(act, sheet, args, place) for place in range(len(args.decisions))]
    _flag(act, args, sheet, rows)


def _sheet(act: Act, client: Client, args: RecordConsentSheet) -> ConsentSheet:
    told = args.model_dump(exclude={"sheet", "client", "decisions"})
    drawn = picture(told["strokes"])
    return ConsentSheet(id=args.sheet, picture=drawn, **told, **by(act, client))


def _as_it_may_hold(
    act: Act, client: Client, args: RecordConsentSheet
) -> AbstractContextManager[None]:
    """A no to the work speaks against visits from then on, as a consent that is taken back does."""
    book = book_of(act.practice)
    no = any(not one.agreed and _purpose(book, one) == "treatment" for one in args.decisions)
    return on_record(act, client, act.by_now(args.decided_at)) if no else nullcontext()


def _purpose(book: Book, one: TextDecision) -> str:
    """A text that is not in the book is for nothing; a no to it is the safe reading of a no."""
    return book.purpose_of(one.text_id) or ("unknown" if one.agreed else "treatment")


def _decided(act: Act, sheet: ConsentSheet, args: RecordConsentSheet, place: int) -> Consent:
    one = args.decisions[place]
    row = Consent(
        id=one.consent,
        sheet=sheet,
        position=place,
        text_id=one.text_id,
        text_version=one.version,
        text_hash=one.text_hash,
        purpose=_purpose(book_of(act.practice), one),
        agreed=one.agreed,
        counts=not one.agreed or not (_unable(args) or act.device.revoked_at),
        strokes=[],
        signed_at=args.decided_at,
        **{name: getattr(args, name) for name in COPIED},
        **by(act, sheet.client),
    )
    act.put(row)
    if not one.agreed:
        _tell_of_ended(act, row)
    return row


def _unable(args: RecordConsentSheet) -> bool:
    """Whether a client said yes of whom nobody said that they can decide. A no always counts."""
    return args.signer_role == "client" and not args.capacity.able


def _tell_of_ended(act: Act, no: Consent) -> None:
    """Devices fetch every earlier yes of the purpose again: it has ended."""
    yes = Consent.objects.filter(client=no.client_id, purpose=no.purpose, agreed=True)
    for row in yes.filter(signed_at__lte=no.signed_at):
        act.announce(row)


def _flag(act: Act, args: RecordConsentSheet, sheet: ConsentSheet, rows: list[Consent]) -> None:
    known = book_of(act.practice).consent_texts
    unknown = [row for row in rows if (row.text_id, row.text_hash) not in known]
    for row in unknown:
        act.raise_incident("consent_text_unknown", row, [row.text_id], sheet.client_id)
    if not unknown and expected(book_of(act.practice), args) != args.shown_sha256:
        act.raise_incident("consent_shown_differs", rows[0], [], sheet.client_id)
    if _unable(args) and any(row.agreed for row in rows):
        act.raise_incident("consent_without_capacity", rows[0], [], sheet.client_id)


def expected(book: Book, args: RecordConsentSheet) -> str | None:
    """The digest of what must have been shown, by this book; None where a text is not in it."""
    texts = list(_texts(book, args))
    if len(texts) < len(args.decisions):
        return None
    return digest(
        Shown(
            args.language,
            args.presented,
            args.signer_name,
            args.signer_role,
            args.ground,
            args.authority,
            texts,
        )
    )


def _texts(book: Book, args: RecordConsentSheet) -> Iterator[ShownText]:
    for one in args.decisions:
        found = shown_as(book.content, one.text_id, one.version, args.language)
        if found is not None:
            yield ShownText(one.text_id, one.version, *found, one.agreed)
