"""A practice in which every free-text field of every command was filled in with a marker word.

Dates of birth and strokes are no words: they get values that nothing else has.
"""

import hashlib
import secrets
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Any

from heelwright.ids import new_id
from tests.factories import (
    OWN_RULES,
    invoice_args,
    item_args,
    link_args,
    offer_args,
    offered,
    paper_args,
    payment_args,
    price_args,
    sale_args,
    series_args,
    travel_args,
    vehicle_args,
    watch_args,
)
from tests.kit.hands import (
    lot_card,
    machine_card,
    mix_args,
    new_label,
    product_card,
    set_card,
)
from tests.services.served import ServedApp
from tests.standards.clients import WELL
from tests.system.device import Device, Json, ask
from tests.system.home_visit import HomeVisit, noon_today
from tests.system.markers import CLEAR_STEM, Markers
from tests.system.practice import found

BORN = "1931-07-23"
STROKE = 7351.90625
SHOWN = "5e" * 32
# In the clear by design: who signs in, by which name; which text was signed, which is no text; the
# hash of a link's secret; what a practice adds to the rulebook, which is about nobody.
CLEAR = {
    "register_staff.name",
    "register_staff.email",
    "sign_consent.text_id",
    "sign_consent.text_hash",
    "record_consent_sheet.language",
    "record_consent_sheet.decisions.text_id",
    "record_consent_sheet.decisions.text_hash",
    "share_calendar.secret_sha256",
    *(f"offer_signing.{field}" for field in ("token_sha256", "language")),
    *(f"offer_signing.texts.{field}" for field in ("text_id", "text_hash")),
    "adopt_practice_rules.text",
    "set_price_item.advice",
    # Ids of the book: which process, check, list and line of it.
    "start_load.process",
    "record_machine_check.kind",
    *(f"sign_checklist.{field}" for field in ("occasion", "items.key")),
    # Which service of the list.
    *(
        f"{visits}.service"
        for visits in ("book_visit", "arrange_visits.visits", "plan_round.visits", "book_series")
    ),
}


@dataclass
class Marked:
    owner: Device
    words: Markers = field(default_factory=Markers)
    clear: Markers = field(default_factory=lambda: Markers(CLEAR_STEM))
    sent: set[str] = field(default_factory=set)

    def __post_init__(self) -> None:
        self.day = HomeVisit(self.owner.staff, answers=WELL | {"hot_swollen_foot": True})

    def send(self, name: str, args: Json) -> Json:
        self.sent.add(name)
        return self.owner.must(name, **args)

    def texts(self, command: str, *fields: str, **more: Any) -> Json:
        return {name: self.words[f"{command}.{name}"] for name in fields} | more


def mark_everything(app: ServedApp) -> Marked:
    marked = Marked(found(app))
    _people(marked)
    _intake(marked)
    _link(marked)
    _visit(marked)
    _mishap(marked)
    _photo(marked)
    _answers(marked)
    _without_text(marked)
    return marked


def _people(marked: Marked) -> None:
    words, clear = marked.words, marked.clear
    card = "name address phone room corridor contact_name contact_phone contact_role".split()
    card += ["note", "entry_note"]
    mail = f"{words['register_client.email']}@there.test"
    new = marked.texts("register_client", *card, email=mail) | {"born": BORN}
    new |= _wishes(marked, "register_client")
    marked.send("register_client", marked.day.card(**new))
    mail = f"{words['amend_client.changes.email']}@there.test"
    changes = marked.texts("amend_client.changes", *card, email=mail)
    changes |= _wishes(marked, "amend_client.changes")
    marked.send("amend_client", {"client": marked.day.client, "seen": 0, "changes": changes})
    house = marked.texts("register_facility", "name", "address", "phone", facility=new_id())
    marked.send("register_facility", house)
    _residents(marked, house["facility"])
    person = {"staff": new_id(), "name": clear["register_staff.name"], "role": "technician"}
    mail = f"{clear['register_staff.email']}@practice.test"
    marked.send("register_staff", person | {"email": mail})
    marked.send("assign_client", {"client": marked.day.client, "staff": person["staff"]})
    marked.send("unassign_client", {"client": marked.day.client, "staff": person["staff"]})
    marked.send("assign_facility", {"facility": house["facility"], "staff": person["staff"]})
    own = OWN_RULES.replace("Ask the family first.", clear["adopt_practice_rules.text"])
    marked.send("adopt_practice_rules", {"text": own})


def _wishes(marked: Marked, card: str) -> Json:
    times = [{"weekday": n, "starts": "00:00", "ends": "23:59"} for n in range(7)]
    return {"visit_times": times, "needs_skills": [marked.words[f"{card}.needs_skills"]]}


def _residents(marked: Marked, facility: Any) -> None:
    name, words = "amend_facility.changes", marked.words
    meal = {"name": words[f"{name}.quiet_times.name"], "starts": "12:00", "ends": "13:00"}
    changes = marked.texts(name, "name", "address", "phone")
    changes |= {"quiet_times": [meal], "corridors": [words[f"{name}.corridors"]]}
    marked.send("amend_facility", {"facility": facility, "seen": 10**6, "changes": changes})
    card = "name room corridor phone contact_name contact_phone contact_role".split()
    told = {
        of: marked.texts(of, *card, email=f"{words[f'{of}.email']}@there.test")
        for of in ("import_residents.new", "import_residents.changed.changes")
    }
    client = new_id()
    new = told["import_residents.new"] | {"client": client, "born": BORN}
    marked.send("import_residents", {"facility": facility, "new": [new]})
    changes = told["import_residents.changed.changes"]
    changed = {"client": client, "seen": 10**6, "changes": changes}
    marked.send("import_residents", {"facility": facility, "changed": [changed]})


def _rounds(marked: Marked) -> None:
    """One that is closed, one that is cancelled: with somebody who moved in since."""
    house = new_id()
    marked.owner.must("register_facility", facility=house, name="House")
    for close in (True, False):
        day = HomeVisit(marked.owner.staff, starts_at=noon_today() + timedelta(days=70 + close))
        marked.owner.must("register_client", **day.card(facility=house))
        visit = day.booked(service=marked.clear["plan_round.visits.service"])
        walk = {"round": new_id(), "facility": house, "visits": [visit]}
        walk |= {"day": day.starts_at.date().isoformat(), **marked.texts("plan_round", "note")}
        marked.send("plan_round", walk)
        named = {"round": walk["round"], "seen": 10**6}
        if close:
            marked.owner.must("record_not_seen", booking=day.booking, code="asleep")
            marked.send("close_round", named | marked.texts("close_round", "note"))
            continue
        stops = [{"booking": day.booking, "seen": 10**6}]
        more = {"stops": stops, "code": "mistake", **marked.texts("cancel_round", "reason")}
        marked.send("cancel_round", named | more)


def _hours(marked: Marked, at: datetime) -> None:
    name, staff = "set_working_week", str(marked.owner.staff)
    rest = {"earliest": "12:00", "latest": "14:00", "minutes": 30}
    days = [{"weekday": n, "starts": "00:00", "ends": "23:59", "breaks": [rest]} for n in range(7)]
    week = {"staff": staff, "seen": 10**6, "days": days}
    marked.send(name, week | {"skills": [marked.words[f"{name}.skills"]]})
    here = {"lat": 51.5, "lon": -0.12, "source": "typed", "accuracy_m": None}
    marked.send("set_base", {"staff": staff, "seen": 10**6, "position": here})
    day = (at + timedelta(days=90)).date().isoformat()
    off = {"time_off": new_id(), "staff": staff, "first": day, "last": day}
    marked.send("add_time_off", off | marked.texts("add_time_off", "name"))
    marked.send("remove_time_off", {"time_off": off["time_off"]})
    marked.clear.planted.add("share_calendar.secret_sha256")
    link = link_args()
    marked.send("share_calendar", link)
    marked.send("end_calendar", {"link": link["link"]})


def _bookings(marked: Marked) -> None:
    """Two of a client who is never seen."""
    first, second = HomeVisit(marked.owner.staff), HomeVisit(marked.owner.staff)
    marked.send("register_client", first.card())
    service = marked.clear["book_visit.service"]
    marked.send("book_visit", first.booked(service=service))
    service = marked.clear["arrange_visits.visits.service"]
    moved = first.booked(service=service) | {"seen": 10**6}
    other = second.booked(service=service) | {"client": first.client}
    marked.send("arrange_visits", {"visits": [moved, other]})
    who: Json = {"client": first.client, "staff": marked.owner.staff}
    args = series_args(**who, service=marked.clear["book_series.service"])
    marked.send("book_series", args)
    visits = [{"booking": visit["booking"], "seen": 10**6} for visit in args["visits"]]
    told = {"series": args["series"], "visits": visits, "code": "mistake"}
    marked.send("cancel_series", told | marked.texts("cancel_series", "reason"))
    _rounds(marked)
    waits: Json = {"waiting": new_id(), "client": first.client, "since": first.after(0)}
    waits |= {"first": noon_today().date().isoformat(), "last": None, "times": [], "staff": None}
    waits |= {"minutes": 45, **marked.texts("wait_for_visit", "note")}
    marked.send("wait_for_visit", waits)
    marked.send("stop_waiting", {"waiting": waits["waiting"], "seen": 10**6, "code": "other"})
    told = {"booking": first.booking, "code": "not_in"} | marked.texts("record_not_seen", "reason")
    marked.send("record_not_seen", told)


def _intake(marked: Marked) -> None:
    day, words, clear = marked.day, marked.words, marked.clear
    health = day.screened()["answers"] | {
        words["record_screen.answers.key"]: words["record_screen.answers"]
    }
    told = marked.texts("record_screen", "answered_by_name")
    told["confirmed"] = [words["record_screen.confirmed"]]
    marked.send("record_screen", day.screened(answers=health, **told))
    feet = day.checked()["answers"] | {
        words["record_foot_check.answers.key"]: [words["record_foot_check.answers"]]
    }
    seen = marked.texts("record_foot_check.findings", "id", "region", "what", "note", "follows")
    gone = [words["record_foot_check.gone"]]
    seen |= {"foot": "left", "view": "sole"}
    # A word of the book is wanted in `what`: where nothing else is serious it is refused, and kept
    # in the log as it was typed.
    refused = day.checked(answers=feet | {"hot_swollen_foot": False}, findings=[seen])
    assert marked.owner.do("record_foot_check", **refused)["status"] == "refused"
    seen |= {"what": "swelling"}
    marked.send("record_foot_check", day.checked(answers=feet, findings=[seen], gone=gone))
    signed = marked.texts("sign_consent", "signer_name", "authority", "witness")
    signed["text_id"] = clear["sign_consent.text_id"]
    clear.planted.add("sign_consent.text_hash")
    line = [{"x": STROKE, "y": x, "t": x} for x in range(3)]
    marked.send("sign_consent", day.signed(**signed, strokes=[line]))
    _sheet(marked, line)


def _sheet(marked: Marked, line: list[Json]) -> None:
    day, name = marked.day, "record_consent_sheet"
    text: Json = {"text_id": marked.clear[f"{name}.decisions.text_id"], "text_hash": "0" * 64}
    text |= {"consent": new_id(), "purpose": "photos", "version": 1, "agreed": False}
    marked.clear.planted |= {f"{name}.language", f"{name}.decisions.text_hash"}
    marked.words.planted.add(f"{name}.shown_sha256")
    told = marked.texts(name, "signer_name", "authority", "witness", "said", "place")
    how = {"how": "drawn", "strokes": [line], "shown_sha256": SHOWN, "own_wish": False}
    signer = {"signer_role": "representative", "ground": "other", "presented": "read_aloud"}
    about = {"sheet": new_id(), "client": day.client, "language": "en", "place_kind": "other"}
    told |= how | signer | about | {"decisions": [text], "decided_at": day.after(9)}
    marked.send(name, told)


def _link(marked: Marked) -> None:
    """A sitting on the client's own phone, with an answer that came by it, and one taken back."""
    day, name, secret = marked.day, "offer_signing", secrets.token_urlsafe(32)
    hashed = {"token_sha256": hashlib.sha256(secret.encode()).hexdigest()}
    marked.clear.planted |= {field for field in CLEAR if field.startswith(name)}
    told = marked.texts(name, "signer_name", "authority", "witness", "place", **hashed)
    told |= {"signer_role": "representative", "ground": "other", "texts": [offered("photos")]}
    told |= {"client": day.client, "offered_at": day.after(9)}
    offer = offer_args(**told)
    marked.send(name, offer)
    here = {"token": secret, "phone": secrets.token_urlsafe(32)}
    opened = ask(marked.owner.base_url, "POST", "/api/sign/open", here)
    answers = [{"text_id": "photos", "agreed": False}]
    done: Json = {**here, "language": "en", "presented": "read_self", "answers": answers}
    done |= {"signed": True, "strokes": [[{"x": STROKE, "y": n, "t": n} for n in range(3)]]}
    done |= {"said": Markers()["said"], "shown_sha256": SHOWN, "decided_at": str(day.after(9))}
    answered = ask(marked.owner.base_url, "POST", "/api/sign/done", done)
    assert (opened.status, answered.status) == (200, 200), answered
    marked.send("end_signing", {"offer": offer["offer"], "ended_at": day.after(10)})


def _visit(marked: Marked) -> None:
    day, words = marked.day, marked.words

    def part(name: str, *fields: str, **more: Any) -> Json:
        return marked.texts(f"complete_visit.{name}", *fields, **more)

    places = [words["complete_visit.bits.places"]]
    bit = part("bits", "family", head_mm=10, rpm=15_000, places=places)
    places = [words["complete_visit.softeners.places"]]
    cream = part("softeners", "product", urea_percent=10, placed_at=day.after(12), places=places)
    cream["placed_at"] = day.after(12).isoformat()
    crack = part("cracks", "finding", "region", foot="left")
    lists = ("stop_signs", "left_alone", "work_done", "aftercare")
    done = {name: [words[f"complete_visit.{name}"]] for name in lists}
    done |= marked.texts("complete_visit", "note", "ended_early")
    marked.send("book_visit", day.booked())
    moved = {"booking": day.booking, "seen": 0, "staff": day.staff, "minutes": 30}
    marked.send("move_booking", moved | {"starts_at": HomeVisit(day.staff).starts_at})
    report = day.completed(bits=[bit], softeners=[cream], cracks=[crack], **done)
    incident = marked.send("complete_visit", report)["incidents"][0]
    marked.send("close_incident", {"incident": incident, "note": words["close_incident.note"]})


def _mishap(marked: Marked) -> None:
    day, words = marked.day, marked.words
    told = marked.texts("report_mishap.told", "name", who="family", at=day.after(30).isoformat())
    text = marked.texts("report_mishap", "kind", "what_happened", "first_aid_given")
    text |= {"told": [told], "places": [words["report_mishap.places"]], "mishap": new_id()}
    when = {"visit": day.visit, "happened_at": day.after(29)}
    marked.send("report_mishap", text | when | {"client": day.client})
    named = {"mishap": text["mishap"], "entry": new_id()}
    told = marked.texts("add_to_mishap.told", "name", who="owner", at=day.after(31).isoformat())
    more = marked.texts("add_to_mishap", "note", "outcome", told=[told], added_at=day.after(32))
    marked.send("add_to_mishap", named | more)
    note = {"note": words["close_mishap.note"], "entry": new_id()}
    marked.send("close_mishap", named | note)


def _photo(marked: Marked) -> None:
    photo = {"photo": new_id(), "client": marked.day.client, "purpose": "clearance_evidence"}
    marked.words.planted.add("record_photo.sha256")
    size = {"sha256": SHOWN, "bytes": 9000, "width": 1200, "height": 1600}
    marked.send("record_photo", photo | size | {"taken_at": marked.day.after(33)})
    reason = marked.texts("remove_photo", "reason", photo=photo["photo"])
    marked.send("remove_photo", reason)


def _answers(marked: Marked) -> None:
    day, today = marked.day, noon_today().date().isoformat()
    answer = marked.texts("record_referral_answer", "clinician", "clinician_role", "answer")
    step = marked.texts("record_referral_step", "to", "note", step=new_id(), what="handed_over")
    marked.send("record_referral_step", step | {"referral": day.check, "done_at": day.after(40)})
    marked.send("record_referral_answer", answer | {"referral": day.check, "answered_on": today})
    clearance = marked.texts("record_clearance", "clinician", "clinician_role", "scope")
    clearance |= {"covers": [marked.words["record_clearance.covers"]], "clearance": new_id()}
    name = "record_clearance.limits"
    limits: Json = {"max_rpm": {marked.words[f"{name}.max_rpm.key"]: 9000}}
    limits |= {key: [marked.words[f"{name}.{key}"]] for key in ("bits_allowed", "leave_alone")}
    clearance |= marked.texts("record_clearance", "evidence_note", limits=limits)
    dates = {"client": day.client, "given_on": today, "expires_on": today}
    marked.send("record_clearance", clearance | dates)
    back = marked.texts("withdraw_clearance", "reason", clearance=clearance["clearance"])
    marked.send("withdraw_clearance", back | {"withdrawn_at": day.after(44)})
    reason = marked.texts("withdraw_consent", "reason", consent=day.consent)
    marked.send("withdraw_consent", reason | {"withdrawn_at": day.after(45)})
    wrong = HomeVisit(day.staff, client=day.client)
    wrong.arrived = day.after(47)
    marked.send("record_screen", wrong.screened())
    slip = marked.texts("mark_entered_in_error", "reason", what="health_screen", row=wrong.screen)
    marked.send("mark_entered_in_error", slip)
    marked.send("book_visit", wrong.booked())
    cancelled = marked.texts("cancel_booking", "reason", booking=wrong.booking, seen=0)
    marked.send("cancel_booking", cancelled)


def _without_text(marked: Marked) -> None:
    """The commands that take no text at all, so that every command has been sent."""
    other = Device.sign_in(marked.owner.base_url, "owner@practice.test")
    marked.send("revoke_device", {"device": other.id})
    day, double = HomeVisit(marked.owner.staff), HomeVisit(marked.owner.staff)
    for name, args in (
        ("set_offline_lease", {"days": 14}),
        ("choose_roads", {"roads": "straight_lines"}),
        ("set_money", {"currency": "GBP", "tax_on_top": False}),
        ("register_client", double.card()),
        ("register_client", day.card()),
        ("merge_clients", {"stays": day.client, "goes": double.client}),
        ("book_visit", day.booked()),
        ("record_screen", day.screened()),
        ("record_foot_check", day.checked()),
        ("sign_consent", day.signed()),
        ("start_visit", day.started()),
    ):
        marked.send(name, args)
    _kit(marked, day)
    _lone_work(marked, day.after(40))
    _takings(marked, day, day.after(40))
    _bookings(marked)
    _hours(marked, day.after(40))


def _lone_work(marked: Marked, at: datetime) -> None:
    watch, paper, later = new_id(), new_id(), (at + timedelta(hours=2)).isoformat()
    mail = f"{marked.words['start_watch.tell_email']}@there.test"
    told = marked.texts("start_watch", "reach_at", "tell_name", tell_email=mail)
    marked.send("start_watch", watch_args(watch=watch, back_by=later) | told)
    marked.send("move_watch", {"watch": watch, "back_by": later})
    marked.send("end_watch", {"watch": watch})
    card = paper_args(paper=paper, staff=str(marked.owner.staff))
    marked.send("record_paper", card | marked.texts("record_paper", "name", "number"))
    marked.send("remove_paper", {"paper": paper})


def _travel(marked: Marked, at: datetime) -> None:
    vehicle, words = new_id(), marked.words
    card = vehicle_args(vehicle=vehicle) | marked.texts("register_vehicle", "name", "plate")
    marked.send("register_vehicle", card)
    amended = {"vehicle": vehicle, "seen": 10**6, "given_up": False}
    marked.send("amend_vehicle", amended | marked.texts("amend_vehicle", "name", "plate"))
    told = travel_args(vehicle=vehicle, day=at.date().isoformat()) | marked.texts(
        "record_travel", "note"
    )
    leg = {field: words[f"record_travel.legs.{field}"] for field in ("start", "end", "words")}
    marked.send("record_travel", told | {"legs": [told["legs"][0] | leg]})


def _takings(marked: Marked, day: HomeVisit, at: datetime) -> None:
    item, words = item_args(), marked.texts("set_price_item", "name")
    marked.send("set_price_item", item | words | {"advice": marked.clear["set_price_item.advice"]})
    marked.send("set_price", price_args(item=item["item"]))
    sale = sale_args(client=day.client, day=at.date().isoformat(), paid="not_yet")
    name = marked.words["record_sale.lines.name"]
    marked.send("record_sale", sale | {"lines": [one | {"name": name} for one in sale["lines"]]})
    marked.send("record_payment", payment_args(sale=sale["sale"], day=sale["day"]))
    marked.send("change_bag", {"change": new_id(), "item": item["item"], "what": "taken", "by": 6})
    _invoice(marked, sale["day"])


def _invoice(marked: Marked, day: str) -> None:
    house = new_id()
    marked.send("register_facility", {"facility": house, "name": "Billed"})
    sale = sale_args(facility=house, day=day, paid="not_yet")
    marked.send("record_sale", sale)
    told = invoice_args(facility=house, sales=[sale["sale"]], day=day)
    words = marked.texts("issue_invoice", "seller", "buyer", "reference", "how_to_pay")
    marked.send("issue_invoice", told | words)
    back = {"invoice": told["invoice"], "day": day}
    marked.send("void_invoice", back | marked.texts("void_invoice", "reason"))


def _kit(marked: Marked, day: HomeVisit) -> None:
    """In a visit that has begun."""
    words, clear, at, step = marked.words, marked.clear, day.after(40), new_id()
    ids = {kind: new_id() for kind in ("set", "product", "lot", "machine")}
    cards = (set_card(), product_card(), lot_card(), machine_card())
    for card in cards:
        # No label is a word, so the name has it.
        named = {"name": words["register_thing.label"], "thing": ids[card["kind"]]}
        told = {"thing": named["thing"], "card": card | {"name": named["name"]}}
        marked.send("register_thing", told | {"label": new_label()})
    marked.send("amend_thing", {"thing": ids["set"], "seen": 10**6, "card": cards[0]})
    wash = {"step": step, "set": ids["set"], "what": "wash", "after": [], "at": at}
    marked.send("move_set", wash | marked.texts("move_set", "note"))
    mix = mix_args(product=ids["product"], mixed_at=at, keeps_until=at)
    marked.send("mix_solution", mix | marked.texts("mix_solution", "note"))
    marked.send("throw_away_solution", {"solution": mix["solution"], "at": at})
    load = {"load": new_id(), "machine": ids["machine"], "started_at": at}
    inside = [{"set": ids["set"], "step": new_id(), "after": [step]}]
    how = {"process": clear["start_load.process"], "sets": inside}
    marked.send("start_load", load | how | marked.texts("start_load", "note"))
    ended = {"end": new_id(), "load": load["load"], "ended_at": at}
    marked.send("end_load", ended | marked.texts("end_load", "note"))
    check = {"check": new_id(), "machine": ids["machine"], "tested_at": at, "read_at": at}
    check |= {"passed": True, "kind": clear["record_machine_check.kind"]}
    marked.send("record_machine_check", check | marked.texts("record_machine_check", "note"))
    change = {"change": new_id(), "lot": ids["lot"], "by": 5, "at": at}
    marked.send("change_stock", change | marked.texts("change_stock", "note"))
    items = {clear["sign_checklist.items.key"]: "done"}
    signed = {"checklist": new_id(), "items": items, "signed_at": at}
    signed["occasion"] = clear["sign_checklist.occasion"]
    marked.send("sign_checklist", signed | marked.texts("sign_checklist", "note"))
    _travel(marked, at)
    given = {"use": new_id(), "visit": day.visit, "client": day.client, "set": ids["set"]}
    marked.sent.add("give_set")
    refused = marked.owner.push(marked.owner.command("give_set", **given, after=[], at=at))
    assert refused.body["results"][0]["status"] == "refused"
