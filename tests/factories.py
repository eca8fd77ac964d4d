# factory-boy is typed in part only.
# mypy: disallow-subclassing-any=False, disallow-untyped-calls=False
"""The arguments of commands as a careful technician would fill them in, by factory-boy.

A test departs from them in what it is about. They are sent by the hands in `tests.world`.
"""

import hashlib
import secrets
from collections.abc import Callable, Collection
from datetime import date, time, timedelta
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

from factory.base import DictFactory
from factory.declarations import LazyAttribute, LazyFunction, Sequence

from heelwright.ids import new_id
from heelwright.intake.shown import Shown, ShownText, digest
from heelwright.rulebook import book_for
from heelwright.schedule.rules.repeats import BadRule, days_of, occurrences
from tests.standards.clients import DIABETIC, WELL

PARTS = {q.id: group.part for group in book_for().content.groups for q in group.questions}


def part(name: str, answers: dict[str, Any]) -> dict[str, Any]:
    """The answers that belong to the health screen ("health") or to the foot check ("foot")."""
    return {key: value for key, value in answers.items() if PARTS[key] == name}


HEALTHY, GOOD_FEET = part("health", WELL), part("foot", WELL)
DIABETIC_HEALTH = part("health", DIABETIC)
# Signs for which any published framework sends a client on, see tests/standards.
REFERRED = HEALTHY | {"foot_injury": True}
OPEN_SORE = GOOD_FEET | {"open_sore": True}
# Kidney failure asks for a clinician's word first and for nothing else.
NEEDS_WORD = HEALTHY | {"kidney_failure": True}


def ident() -> str:
    return str(new_id())


# Rules that a practice has added: invented.
OWN_RULES = """
rules:
  - id: own_falls
    group: own_house_rules
    when: bruise_easily
    outcome: needs_clearance
    source: Invented house rule
    basis: common_practice
words:
  en:
    rule.own_falls: Ask the family first.
"""


class ClientForm(DictFactory):
    client = LazyFunction(ident)
    name = Sequence(lambda n: f"Client Invented {n}")
    # All of one age, and no two of one day: they would be taken for the same person.
    born = Sequence(lambda n: (date(1976, 2, 3) + timedelta(days=n % 280)).isoformat())
    address = "1 Nowhere Lane"
    phone = "555 0100"
    email = ""
    facility = None
    room = ""
    contact_name = ""
    contact_phone = ""
    contact_role = ""
    decides_for_self = True
    note = ""


class ScreenForm(DictFactory):
    screen = LazyFunction(ident)
    client = ""
    answers = LazyFunction(lambda: dict(HEALTHY))
    answered_by = "client"
    answered_by_name = ""
    screened_at = ""
    shown_outcome = "emergency"


class CheckForm(DictFactory):
    check = LazyFunction(ident)
    client = ""
    screen = ""
    answers = LazyFunction(lambda: dict(GOOD_FEET))
    findings = LazyFunction(list)
    checked_at = ""
    shown_outcome = "emergency"


class ConsentForm(DictFactory):
    consent = LazyFunction(ident)
    client = ""
    text_id = "foot_care"
    text_hash = hashlib.sha256(
        book_for(None).content.words["en"]["consent.foot_care"].encode()
    ).hexdigest()
    signer_name = "Client Invented"
    signer_role = "client"
    authority = ""
    witness = ""
    presented = "read_self"
    own_wish = True
    strokes = LazyFunction(lambda: [[{"x": n, "y": n, "t": n} for n in range(4)]])
    signed_at = ""


def _words(text: str, language: str) -> tuple[str, str]:
    words = book_for(None).content.words[language]
    return words[f"consent_title.{text}"], words[f"consent.{text}"]


def decision(text: str, agreed: bool = True, language: str = "en") -> dict[str, Any]:
    _, words = _words(text, language)
    hashed = hashlib.sha256(words.encode()).hexdigest()
    made: dict[str, Any] = {"consent": ident(), "text_id": text, "version": 1, "text_hash": hashed}
    made["purpose"] = book_for(None).purpose_of(text)
    return {**made, "agreed": agreed}


def shown_of(args: dict[str, Any]) -> str:
    """The digest that a phone sends, of what the book says."""
    texts = [
        ShownText(d["text_id"], 1, *_words(d["text_id"], args["language"]), d["agreed"])
        for d in args["decisions"]
    ]
    told = {name: args[name] for name in SHOWN if name != "decisions"}
    return digest(Shown(**told, texts=texts))


SHOWN = ("language", "presented", "signer_name", "signer_role", "ground", "authority", "decisions")


class SheetForm(DictFactory):
    sheet = LazyFunction(ident)
    client = ""
    language = "en"
    decisions = LazyFunction(lambda: [decision("foot_care"), decision("photos", agreed=False)])
    signer_name = "Client Invented"
    signer_role = "client"
    ground = ""
    authority = ""
    capacity = LazyFunction(lambda: dict.fromkeys(("understands", "keeps", "weighs", "says"), True))
    how = "drawn"
    witness = ""
    strokes = LazyFunction(lambda: [[{"x": n, "y": n, "t": n} for n in range(4)]])
    presented = "read_self"
    own_wish = True
    said = ""
    place_kind = "client_home"
    place = ""
    decided_at = ""
    shown_sha256 = LazyAttribute(
        lambda made: shown_of({name: getattr(made, name) for name in SHOWN})
    )


def offered(text: str, language: str = "en") -> dict[str, Any]:
    return {
        name: value for name, value in decision(text, language=language).items() if name != "agreed"
    }


class OfferForm(DictFactory):
    offer = LazyFunction(ident)
    client = ""
    token_sha256 = LazyFunction(lambda: secrets.token_hex(32))
    sheet = LazyFunction(ident)
    texts = LazyFunction(lambda: [offered("foot_care"), offered("photos")])
    language = "en"
    signer_name = "Client Invented"
    signer_role = "client"
    ground = ""
    authority = ""
    capacity = LazyFunction(lambda: dict.fromkeys(("understands", "keeps", "weighs", "says"), True))
    how = "drawn"
    witness = ""
    own_wish = True
    place_kind = "client_home"
    place = ""
    offered_at = ""


class ClearanceForm(DictFactory):
    clearance = LazyFunction(ident)
    client = ""
    clinician = "Dr Invented"
    clinician_role = "General practitioner"
    given_on = ""
    expires_on = ""
    covers = LazyFunction(lambda: ["kidney"])
    scope = "Filing of callus with a diamond bit"
    evidence_note = "Letter, seen and copied"


class BookingForm(DictFactory):
    booking = LazyFunction(ident)
    client = ""
    staff = ""
    starts_at = ""
    minutes = 45
    place = "home"


class VisitForm(DictFactory):
    visit = LazyFunction(ident)
    booking = ""
    client = ""
    screen = ""
    check = ""
    consent = ""
    started_at = ""


class DoneForm(VisitForm):
    ended_at = ""
    ended_early = ""
    bits = LazyFunction(
        lambda: [{"family": "diamond_large", "head_mm": 6, "rpm": 15000, "places": ["heel"]}]
    )
    softeners = LazyFunction(list)
    cracks = LazyFunction(list)
    stop_signs = LazyFunction(list)
    left_alone = LazyFunction(list)
    work_done = LazyFunction(lambda: ["callus_filed"])
    note = ""
    aftercare = LazyFunction(list)
    weeks_until_next = 6


class MishapForm(DictFactory):
    mishap = LazyFunction(ident)
    client = ""
    visit = None
    kind = "nick"
    happened_at = ""
    what_happened = "The bit slipped at the left heel"
    places = LazyFunction(lambda: ["left_heel"])
    first_aid_given = "Pressed for ten minutes, dressed"
    told = LazyFunction(list)
    follow_up_on = None
    photo = None
    visit_stopped = False


class AnswerForm(DictFactory):
    referral = ""
    clinician = "Dr Invented"
    clinician_role = "General practitioner"
    answered_on = ""
    answer = "Seen; care of the skin may go on."


# Not a picture; of one, only its length and digest are told before it is sent.
PICTURE = b"an invented picture of a heel " * 20_000


class PhotoForm(DictFactory):
    photo = LazyFunction(ident)
    client = ""
    purpose = "before"
    taken_at = ""
    sha256 = hashlib.sha256(PICTURE).hexdigest()
    bytes = len(PICTURE)
    width = 1600
    height = 1200


class WatchForm(DictFactory):
    watch = LazyFunction(ident)
    back_by = ""
    reach_at = "555 0142"
    tell_name = "Noa Next-door"
    tell_email = "noa@next-door.test"


class PaperForm(DictFactory):
    paper = LazyFunction(ident)
    staff = ""
    what = "first_aid"
    name = "First aid at work"
    number = "FA 17"
    expires_on = "2028-05-31"


class VehicleForm(DictFactory):
    vehicle = LazyFunction(ident)
    kind = "car"
    unit = "mile"
    name = "Blue estate"
    plate = "INV 3NT"


class TravelForm(DictFactory):
    travel = LazyFunction(ident)
    vehicle = ""
    day = ""
    odometer_start = 412_300
    odometer_end = 412_425
    legs = LazyFunction(
        lambda: [
            {"start": "Home", "end": "1 Nowhere Lane", "purpose": "client", "words": "",
             "estimated_m": 9_000, "tenths": 60, "known": "odometer"},
            {"start": "1 Nowhere Lane", "end": "Home", "purpose": "client", "words": "",
             "estimated_m": 9_000, "tenths": 65, "known": "odometer"},
        ]
    )  # fmt: skip
    note = ""
    replaces = LazyFunction(list)


class PriceItemForm(DictFactory):
    item = LazyFunction(ident)
    seen = None
    kind = "service"
    name = "Foot care at home"
    advice = ""
    given_up = False


class PriceForm(DictFactory):
    price = LazyFunction(ident)
    item = ""
    facility = None
    starts = "2026-01-05"
    amount = "38.00"
    currency = ""
    tax = "0"


class WaitingForm(DictFactory):
    waiting = LazyFunction(ident)
    client = ""
    since = ""
    first = ""
    last = None
    times = LazyFunction(list)
    minutes = 45
    staff = None


class SaleForm(DictFactory):
    sale = LazyFunction(ident)
    client = None
    facility = None
    visit = None
    day = ""
    currency = "GBP"
    tax_on_top = False
    lines = LazyFunction(
        lambda: [
            {"item": None, "kind": "service", "name": "Foot care at home", "quantity": 1,
             "price": "38.00", "discount": "0.00", "tax": "0"},
            {"item": None, "kind": "product", "name": "Foot cream", "quantity": 2,
             "price": "9.50", "discount": "1.00", "tax": "20"},
        ]
    )  # fmt: skip
    paid = "cash"
    beside = LazyFunction(list)
    replaces = LazyFunction(list)


class PaymentForm(DictFactory):
    payment = LazyFunction(ident)
    sale = ""
    day = ""
    amount = "56.00"
    way = "transfer"
    beside = LazyFunction(list)
    replaces = LazyFunction(list)


class InvoiceForm(DictFactory):
    invoice = LazyFunction(ident)
    facility = ""
    sales = LazyFunction(list)
    day = ""
    days = 30
    seller = "Invented Foot Care\n3 Made-up Street\nTax number 000 0000 00"
    buyer = "Invented House\n1 Long Lane"
    reference = "Order 17"
    how_to_pay = "By transfer to account 00000000"
    first_number = 1


def filled(form: type[DictFactory]) -> Callable[..., dict[str, Any]]:
    """Fills in a form; what is given replaces what stands in it."""
    return lambda **given: dict(form.build(**given))


client_args = filled(ClientForm)
screen_args = filled(ScreenForm)
check_args = filled(CheckForm)
consent_args = filled(ConsentForm)
sheet_args = filled(SheetForm)
offer_args = filled(OfferForm)
clearance_args = filled(ClearanceForm)
photo_args = filled(PhotoForm)
watch_args = filled(WatchForm)
paper_args = filled(PaperForm)
vehicle_args = filled(VehicleForm)
travel_args = filled(TravelForm)
item_args = filled(PriceItemForm)
price_args = filled(PriceForm)
sale_args = filled(SaleForm)
payment_args = filled(PaymentForm)
invoice_args = filled(InvoiceForm)
booking_args = filled(BookingForm)
waiting_args = filled(WaitingForm)


def link_args(secret: str = "", **more: Any) -> dict[str, Any]:
    """Of a calendar link, with a secret of one's own or an unknown one."""
    hashed = hashlib.sha256((secret or secrets.token_urlsafe(32)).encode()).hexdigest()
    return {"link": ident(), "secret_sha256": hashed, **more}


def series_args(*, left_out: Collection[date] = (), **more: Any) -> dict[str, Any]:
    """Three Tuesdays at ten o'clock in London, where another rule is not named."""
    series, clock, first = more.get("series", ident()), "10:00", date(2027, 1, 5)
    rule = more.get("rule", "FREQ=WEEKLY;INTERVAL=1;BYDAY=TU;COUNT=3")
    try:
        days = days_of(rule, first)
    except BadRule:
        days = [first]
    made = occurrences(UUID(series), days, left_out, time(10), ZoneInfo("Europe/London"))
    told = {
        "first": first.isoformat(),
        "left_out": [day.isoformat() for day in left_out],
        "visits": [
            {"booking": str(each.booking), "starts_at": each.starts_at.isoformat()} for each in made
        ],
    }
    base = {"series": series, "clock": clock, "rule": rule, "minutes": 45, "place": "home"}
    return base | told | more


visit_args = filled(VisitForm)
done_args = filled(DoneForm)
answer_args = filled(AnswerForm)
mishap_args = filled(MishapForm)
