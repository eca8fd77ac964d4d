"""One good example of every command, in a world where it is due.

`furnished` is that world; EXAMPLES says for each command who sends it and with what. A command
without an example fails the test run.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from tests.factories import (
    OWN_RULES,
    REFERRED,
    answer_args,
    booking_args,
    check_args,
    clearance_args,
    client_args,
    consent_args,
    ident,
    invoice_args,
    item_args,
    link_args,
    mishap_args,
    offer_args,
    paper_args,
    payment_args,
    photo_args,
    price_args,
    sale_args,
    screen_args,
    series_args,
    sheet_args,
    travel_args,
    vehicle_args,
    waiting_args,
    watch_args,
)
from tests.kit.hands import (
    STEAM,
    KitHand,
    lot_card,
    machine_card,
    mix_args,
    new_label,
    product_card,
    set_card,
)
from tests.world import Hand, World


@dataclass
class KitThere:
    """A machine with a cycle running, a set that is clean since the step `head`, a product with a
    solution of it, a lot, and a visit that has begun."""

    machine: str
    clean: str
    head: list[str]
    product: str
    lot: str
    load: str
    solution: str
    visit: dict[str, Any]


@dataclass
class Furnished:
    """A world with a visit due, a referral waiting, a slip just made, an incident and a mishap
    open."""

    world: World
    start: dict[str, Any]
    referral: str
    slip: str
    incident: str
    clearance: str
    mishap: str
    photo: str
    offer: str
    time_off: str
    calendar: str
    series: dict[str, Any]
    kit: KitThere
    foreign: dict[str, str]
    foreign_kit: KitThere
    vehicle: str
    watch: str
    paper: str
    item: str
    sale: str
    owed: str
    invoice: str
    rounds: "Rounds"
    waiting: str

    @property
    def technician(self) -> Hand:
        return self.world.technician

    @property
    def client(self) -> str:
        return self.world.client


def furnish(world: World) -> Furnished:
    technician = world.technician
    start = technician.ready(world.client, booking=technician.book(world.client))
    referred = technician.register(name="Referred Invented")
    told = technician.do(
        "record_screen",
        screen_args(
            client=referred,
            answers=REFERRED,
            screened_at=technician.stamp(),
            shown_outcome="go",
        ),
    )
    referral = technician.screen(technician.register(name="Waiting Invented"), REFERRED)
    slip = technician.screen(technician.register(name="Slip Invented"), REFERRED)
    incident, clearance = str(told.incidents[0]), technician.clear(world.client)
    mishap, photo = technician.mishap(world.client), taken(technician, world.client)
    theirs, offer = foreign(world.stranger), offered(technician, world.client)
    vehicle, watch, paper = driven_by(technician), watched(technician), paper_of(technician)
    kit = kit_there(technician, technician.register(name="Served Invented"))
    there = kit_there(world.stranger, world.stranger.register(name="Served elsewhere"))
    return Furnished(
        world,
        start,
        referral,
        slip,
        incident,
        clearance,
        mishap,
        photo,
        offer,
        days_off(technician),
        shared(technician),
        repeated(technician, world.client),
        kit,
        theirs | ids_of(there) | elsewhere(world.stranger),
        there,
        vehicle,
        watch,
        paper,
        priced(world.owner),
        sold(technician),
        sold(technician, world.facility),
        billed(world.owner, world.facility),
        rounds_of(world.owner, world.facility, world.resident),
        waits(technician, referred),
    )


def elsewhere(hand: Hand) -> dict[str, str]:
    made = {"vehicle": driven_by(hand), "watch": watched(hand), "paper": paper_of(hand)}
    house = ident()
    hand.do("register_facility", {"facility": house, "name": "Another house elsewhere"})
    resident = hand.register(facility=house)
    made |= {"round": rounds_of(hand, house, resident)[1][0], "waiting": waits(hand, resident)}
    made |= {"item": priced(hand), "sale": sold(hand), "invoice": billed(hand, house)}
    return made


def sold(hand: Hand, facility: object = None) -> str:
    house = str(facility) if facility else None
    args = sale_args(day=hand.day(), paid="not_yet", facility=house)
    hand.do("record_sale", args)
    return str(args["sale"])


def billed(owner: Hand, facility: object) -> str:
    sales = [sold(owner, facility)]
    args = invoice_args(facility=str(facility), sales=sales, day=owner.day())
    owner.do("issue_invoice", args)
    return str(args["invoice"])


def priced(owner: Hand) -> str:
    args = item_args()
    owner.do("set_price_item", args)
    owner.do("set_price", price_args(item=args["item"]))
    return str(args["item"])


def watched(hand: Hand) -> str:
    args = watch_args(back_by=hand.stamp(hours=2))
    hand.do("start_watch", args)
    return str(args["watch"])


def paper_of(hand: Hand) -> str:
    args = paper_args(staff=str(hand.staff.pk))
    hand.do("record_paper", args)
    return str(args["paper"])


def driven_by(hand: Hand) -> str:
    args = vehicle_args()
    hand.do("register_vehicle", args)
    return str(args["vehicle"])


def repeated(hand: Hand, client: str) -> dict[str, Any]:
    args = series_args(client=client, staff=hand.id)
    hand.do("book_series", args)
    return args


# A round whose stop has its answer; one that lies ahead, and its stop.
Rounds = tuple[str, tuple[str, str]]


def rounds_of(owner: Hand, facility: str, resident: str) -> Rounds:
    made = []
    for days in (41, 42):
        visit = booking_args(client=resident, staff=owner.id, starts_at=owner.stamp(days=days))
        house = {"round": ident(), "facility": facility, "day": owner.day(days=days)}
        owner.do("plan_round", {**house, "visits": [visit]})
        made.append((house["round"], str(visit["booking"])))
    told = {"booking": made[0][1], "code": "asleep", "reason": ""}
    owner.do("record_not_seen", told)
    return made[0][0], made[1]


def waits(hand: Hand, client: str) -> str:
    args = waiting_args(client=client, since=hand.stamp(), first=hand.day(days=1))
    hand.do("wait_for_visit", args)
    return str(args["waiting"])


def days_off(hand: Hand) -> str:
    days = {"time_off": ident(), "staff": hand.id, "first": hand.day(days=60)}
    hand.do("add_time_off", {**days, "last": hand.day(days=61)})
    return str(days["time_off"])


def shared(hand: Hand) -> str:
    args = link_args()
    hand.do("share_calendar", args)
    return str(args["link"])


def kit_there(hand: Hand, client: str) -> KitThere:
    kit = KitHand(hand)
    machine, clean = kit.register(machine_card()), kit.register(set_card())
    product, lot = kit.register(product_card()), kit.register(lot_card())
    kit.through(machine, clean)
    inside = kit.register(set_card())
    kit.move(inside, "wash")
    load = kit.start(inside, process=STEAM, machine=machine)
    mixed = mix_args(product=product, mixed_at=hand.stamp(), keeps_until=hand.stamp(hours=8))
    kit.do("mix_solution", mixed)
    begun = hand.ready(client, booking=hand.book(client, starts_at=hand.stamp(days=9)))
    hand.do("start_visit", begun)
    head = kit.heads[clean]
    return KitThere(machine, clean, head, product, lot, load, mixed["solution"], begun)


def taken(hand: Hand, client: str) -> str:
    photo = ident()
    hand.do("record_photo", photo_args(photo=photo, client=client, taken_at=hand.stamp()))
    return photo


def offered(hand: Hand, client: str) -> str:
    args = offer_args(client=client, offered_at=hand.stamp())
    hand.do("offer_signing", args)
    return str(args["offer"])


def foreign(stranger: Hand) -> dict[str, str]:
    """Rows of the other practice, by the name of the field that could point at them."""
    client = stranger.register()
    start = stranger.ready(client)
    told = stranger.do(
        "record_screen",
        screen_args(
            client=client,
            answers=REFERRED,
            screened_at=stranger.stamp(),
            shown_outcome="go",
        ),
    )
    referral = stranger.screen(stranger.register(), REFERRED)
    facility, mishap, entry = ident(), stranger.mishap(client), ident()
    stranger.do("register_facility", {"facility": facility, "name": "House elsewhere"})
    added = {"mishap": mishap, "entry": entry, "added_at": stranger.stamp()}
    stranger.do("add_to_mishap", added)
    return {
        **{name: str(start[name]) for name in ("client", "booking", "screen", "check", "consent")},
        "stays": client,
        "goes": client,
        "staff": stranger.id,
        "device": str(stranger.device.pk),
        "facility": facility,
        "referral": referral,
        "clearance": stranger.clear(client),
        "row": referral,
        "mishap": mishap,
        "entry": entry,
        "photo": taken(stranger, client),
        "offer": offered(stranger, client),
        "time_off": days_off(stranger),
        "link": shared(stranger),
        "incident": str(told.incidents[0]),
    }


def ids_of(there: KitThere) -> dict[str, str]:
    """By the name of the field that could point at them."""
    names = {"thing": there.clean, "set": there.clean, "visit": str(there.visit["visit"])}
    for name in ("machine", "product", "lot", "load", "solution"):
        names[name] = getattr(there, name)
    return names


@dataclass(frozen=True)
class Example:
    """`args` fills in the command; `fresh` are the ids that it makes; `by` is who sends it.

    `about_client` says whether it needs a client that the sender has. `author_only`: nobody else
    may, not even the owner.
    """

    args: Callable[[Furnished], dict[str, Any]]
    by: str = "technician"
    fresh: tuple[str, ...] = ()
    about_client: bool = True
    author_only: bool = False


def _stop(f: Furnished, **at: Any) -> dict[str, Any]:
    owner = f.world.owner
    return booking_args(client=f.world.resident, staff=owner.id, starts_at=owner.stamp(**at))


def _visit(f: Furnished) -> dict[str, Any]:
    return dict(f.start)


EXAMPLES: dict[str, Example] = {
    "register_client": Example(
        lambda f: client_args(facility=f.world.facility), fresh=("client",), about_client=False
    ),
    "amend_client": Example(
        lambda f: {"client": f.client, "seen": 10_000, "changes": {"phone": "555 0199"}}
    ),
    "merge_clients": Example(lambda f: {"stays": f.world.resident, "goes": f.client}, by="owner"),
    "assign_client": Example(lambda f: {"client": f.client, "staff": f.world.owner.id}),
    "unassign_client": Example(
        lambda f: {"client": f.client, "staff": f.technician.id}, by="owner"
    ),
    "register_facility": Example(
        lambda _: {"facility": ident(), "name": "New House", "address": "", "phone": ""},
        by="owner",
        fresh=("facility",),
        about_client=False,
    ),
    "register_staff": Example(
        lambda _: {
            "staff": ident(),
            "name": "New Invented",
            "email": f"{ident()}@heelside.example",
            "role": "technician",
        },
        by="owner",
        fresh=("staff",),
        about_client=False,
    ),
    "assign_facility": Example(
        lambda f: {"facility": f.world.facility, "staff": f.world.colleague.id},
        by="owner",
        about_client=False,
    ),
    "amend_facility": Example(
        lambda f: {
            "facility": f.world.facility,
            "seen": 10_000,
            "changes": {"quiet_times": [{"name": "Lunch", "starts": "12:00", "ends": "13:00"}]},
        },
        by="coordinator",
        about_client=False,
    ),
    "import_residents": Example(
        lambda f: {
            "facility": f.world.facility,
            "new": [{"client": ident(), "name": "Taken Invented", "born": "1941-03-31"}],
            "changed": [{"client": f.world.resident, "seen": 10_000, "changes": {"room": "9"}}],
        },
        by="coordinator",
        about_client=False,
    ),
    "revoke_device": Example(
        lambda f: {"device": str(f.world.colleague.device.pk), "save_unsent": True},
        by="owner",
        about_client=False,
    ),
    "adopt_practice_rules": Example(lambda _: {"text": OWN_RULES}, by="owner", about_client=False),
    "set_money": Example(
        lambda _: {"currency": "JPY", "tax_on_top": True}, by="owner", about_client=False
    ),
    "choose_roads": Example(lambda _: {"roads": "straight_lines"}, by="owner", about_client=False),
    "set_offline_lease": Example(lambda _: {"days": 7}, by="owner", about_client=False),
    "record_screen": Example(
        lambda f: screen_args(client=f.client, screened_at=f.technician.stamp()),
        fresh=("screen",),
    ),
    "record_foot_check": Example(
        lambda f: check_args(
            client=f.client, screen=f.start["screen"], checked_at=f.technician.stamp()
        ),
        fresh=("check",),
    ),
    "mark_entered_in_error": Example(
        lambda f: {"what": "health_screen", "row": f.slip, "reason": "Wrong client"},
        author_only=True,
    ),
    "sign_consent": Example(
        lambda f: consent_args(client=f.client, signed_at=f.technician.stamp()),
        fresh=("consent",),
    ),
    "record_consent_sheet": Example(
        lambda f: sheet_args(client=f.client, decided_at=f.technician.stamp()),
        fresh=("sheet",),
    ),
    "offer_signing": Example(
        lambda f: offer_args(client=f.client, offered_at=f.technician.stamp()),
        fresh=("offer",),
    ),
    "end_signing": Example(lambda f: {"offer": f.offer, "ended_at": f.technician.stamp()}),
    "withdraw_consent": Example(
        lambda f: {
            "consent": f.start["consent"],
            "reason": "",
            "withdrawn_at": f.technician.stamp(),
        }
    ),
    "record_referral_step": Example(
        lambda f: {
            "step": ident(),
            "referral": f.referral,
            "what": "handed_over",
            "how": "family",
            "to": "Daughter Invented",
            "note": "",
            "done_at": f.technician.stamp(),
        },
        fresh=("step",),
    ),
    "record_referral_answer": Example(
        lambda f: answer_args(referral=f.referral, answered_on=f.technician.day())
    ),
    "record_clearance": Example(
        lambda f: clearance_args(
            client=f.client, given_on=f.technician.day(), expires_on=f.technician.day(days=90)
        ),
        fresh=("clearance",),
    ),
    "withdraw_clearance": Example(
        lambda f: {
            "clearance": f.clearance,
            "reason": "New test results",
            "withdrawn_at": f.technician.stamp(),
        }
    ),
    "record_photo": Example(
        lambda f: photo_args(client=f.client, taken_at=f.technician.stamp()), fresh=("photo",)
    ),
    "remove_photo": Example(
        lambda f: {"photo": f.photo, "reason": "Taken of the wrong person"}, by="owner"
    ),
    "book_visit": Example(
        lambda f: booking_args(
            client=f.client, staff=f.technician.id, starts_at=f.technician.stamp(days=3)
        ),
        fresh=("booking",),
    ),
    "move_booking": Example(
        lambda f: {
            "booking": f.start["booking"],
            "seen": 10_000,
            "starts_at": f.technician.stamp(days=4),
            "minutes": 30,
            "staff": f.technician.id,
        }
    ),
    "arrange_visits": Example(
        lambda f: {
            "visits": [
                {
                    **booking_args(
                        booking=f.start["booking"],
                        client=f.client,
                        staff=f.technician.id,
                        starts_at=f.technician.stamp(days=4),
                    ),
                    "seen": 10_000,
                },
                booking_args(
                    client=f.client, staff=f.technician.id, starts_at=f.technician.stamp(days=3)
                ),
            ]
        }
    ),
    "book_series": Example(lambda f: series_args(client=f.client, staff=f.world.owner.id)),
    "cancel_series": Example(
        lambda f: {
            "series": f.series["series"],
            "visits": [
                {"booking": visit["booking"], "seen": 10_000} for visit in f.series["visits"][1:]
            ],
            "code": "moved_away",
            "reason": "",
        }
    ),
    "plan_round": Example(
        lambda f: {
            "round": ident(),
            "facility": f.world.facility,
            "day": f.world.owner.day(days=40),
            "note": "By the side door",
            "visits": [_stop(f, days=40)],
        },
        by="owner",
        fresh=("round",),
        about_client=False,
    ),
    "close_round": Example(lambda f: {"round": f.rounds[0], "seen": 10_000}, about_client=False),
    "cancel_round": Example(
        lambda f: {
            "round": f.rounds[1][0],
            "seen": 10_000,
            "stops": [{"booking": f.rounds[1][1], "seen": 10_000}],
            "code": "mistake",
        },
        by="owner",
        about_client=False,
    ),
    "cancel_booking": Example(
        lambda f: {
            "booking": f.start["booking"],
            "seen": 10_000,
            "code": "client_asked",
            "reason": "",
        }
    ),
    "record_not_seen": Example(
        lambda f: {"booking": f.start["booking"], "code": "not_in", "reason": ""}
    ),
    "wait_for_visit": Example(
        lambda f: waiting_args(
            client=f.start["client"],
            since=f.technician.stamp(),
            first=f.technician.day(days=1),
            last=f.technician.day(days=21),
            times=[{"weekday": 1, "starts": "10:00", "ends": "12:30"}],
            staff=f.technician.id,
            note="Rings back after four.",
        ),
        fresh=("waiting",),
    ),
    "stop_waiting": Example(
        lambda f: {"waiting": f.waiting, "seen": 10_000, "code": "booked_elsewhere"}
    ),
    "set_working_week": Example(
        lambda f: {
            "staff": f.technician.id,
            "seen": 10_000,
            "days": [{"weekday": 0, "starts": "09:00", "ends": "17:00", "breaks": []}],
            "skills": ["Nail braces"],
        },
        about_client=False,
        author_only=True,
    ),
    "set_base": Example(
        lambda f: {
            "staff": f.technician.id,
            "seen": 10_000,
            "position": {"lat": 51.5, "lon": -0.12, "source": "typed", "accuracy_m": None},
        },
        about_client=False,
        author_only=True,
    ),
    "add_time_off": Example(
        lambda f: {
            "time_off": ident(),
            "staff": f.technician.id,
            "first": f.technician.day(days=30),
            "last": f.technician.day(days=31),
            "name": "Away",
        },
        fresh=("time_off",),
        about_client=False,
        author_only=True,
    ),
    "remove_time_off": Example(
        lambda f: {"time_off": f.time_off}, about_client=False, author_only=True
    ),
    "share_calendar": Example(lambda _: link_args(), fresh=("link",), about_client=False),
    "end_calendar": Example(lambda f: {"link": f.calendar}, about_client=False, author_only=True),
    "register_thing": Example(
        lambda _: {"thing": ident(), "label": new_label(), "card": set_card()},
        fresh=("thing",),
        about_client=False,
    ),
    "amend_thing": Example(
        lambda f: {"thing": f.kit.clean, "seen": 10_000, "card": set_card("Another name")},
        about_client=False,
    ),
    "move_set": Example(
        lambda f: {
            "step": ident(),
            "set": f.kit.clean,
            "what": "take_out",
            "after": f.kit.head,
            "at": f.technician.stamp(),
        },
        fresh=("step",),
        about_client=False,
    ),
    "mix_solution": Example(
        lambda f: mix_args(
            product=f.kit.product,
            mixed_at=f.technician.stamp(),
            keeps_until=f.technician.stamp(hours=8),
        ),
        fresh=("solution",),
        about_client=False,
    ),
    "throw_away_solution": Example(
        lambda f: {"solution": f.kit.solution, "at": f.technician.stamp()}, about_client=False
    ),
    "start_load": Example(
        lambda f: {
            "load": ident(),
            "process": STEAM,
            "machine": f.kit.machine,
            "sets": [{"set": f.kit.clean, "step": ident(), "after": f.kit.head}],
            "started_at": f.technician.stamp(),
        },
        fresh=("load",),
        about_client=False,
    ),
    "end_load": Example(
        lambda f: {
            "end": ident(),
            "load": f.kit.load,
            "ended_at": f.technician.stamp(),
            "held_minutes": 4,
            "celsius": 134,
            "indicator": "passed",
        },
        fresh=("end",),
        about_client=False,
    ),
    "record_machine_check": Example(
        lambda f: {
            "check": ident(),
            "machine": f.kit.machine,
            "kind": "spore_test",
            "tested_at": f.technician.stamp(),
            "read_at": f.technician.stamp(),
            "passed": False,
        },
        fresh=("check",),
        about_client=False,
    ),
    "change_stock": Example(
        lambda f: {"change": ident(), "lot": f.kit.lot, "by": -3, "at": f.technician.stamp()},
        fresh=("change",),
        about_client=False,
    ),
    "register_vehicle": Example(lambda _: vehicle_args(), fresh=("vehicle",), about_client=False),
    "amend_vehicle": Example(
        lambda f: {
            "vehicle": f.vehicle,
            "seen": 0,
            "name": "Green van",
            "plate": "",
            "given_up": True,
        },
        about_client=False,
        author_only=True,
    ),
    "record_travel": Example(
        lambda f: travel_args(vehicle=f.vehicle, day=f.technician.day()),
        fresh=("travel",),
        about_client=False,
        author_only=True,
    ),
    "set_price_item": Example(
        lambda _: item_args(), by="owner", fresh=("item",), about_client=False
    ),
    "set_price": Example(
        lambda f: price_args(item=f.item, facility=str(f.world.facility)),
        by="owner",
        fresh=("price",),
        about_client=False,
    ),
    "record_sale": Example(
        lambda f: sale_args(
            client=f.client, facility=str(f.world.facility), day=f.technician.day()
        ),
        fresh=("sale",),
    ),
    "record_payment": Example(
        lambda f: payment_args(sale=f.sale, day=f.technician.day()),
        fresh=("payment",),
        about_client=False,
        author_only=True,
    ),
    "issue_invoice": Example(
        lambda f: invoice_args(
            facility=str(f.world.facility), sales=[f.owed], day=f.technician.day()
        ),
        by="owner",
        fresh=("invoice",),
        about_client=False,
    ),
    "void_invoice": Example(
        lambda f: {"invoice": f.invoice, "day": f.technician.day(), "reason": "One line is wrong."},
        by="owner",
        about_client=False,
    ),
    "change_bag": Example(
        lambda f: {"change": ident(), "item": f.item, "what": "taken", "by": 6},
        fresh=("change",),
        about_client=False,
    ),
    "start_watch": Example(
        lambda f: watch_args(back_by=f.technician.stamp(hours=3)),
        fresh=("watch",),
        about_client=False,
    ),
    "move_watch": Example(
        lambda f: {"watch": f.watch, "back_by": f.technician.stamp(hours=4)},
        about_client=False,
        author_only=True,
    ),
    "end_watch": Example(lambda f: {"watch": f.watch}, about_client=False, author_only=True),
    "record_paper": Example(
        lambda f: paper_args(staff=str(f.technician.staff.pk)),
        fresh=("paper",),
        about_client=False,
        author_only=True,
    ),
    "remove_paper": Example(lambda f: {"paper": f.paper}, about_client=False, author_only=True),
    "sign_checklist": Example(
        lambda f: {
            "checklist": ident(),
            "occasion": "on_arrival",
            "items": {"hands_clean": "done"},
            "signed_at": f.technician.stamp(),
        },
        fresh=("checklist",),
        about_client=False,
    ),
    "give_set": Example(
        lambda f: {
            "use": ident(),
            "visit": f.kit.visit["visit"],
            "client": f.kit.visit["client"],
            "set": f.kit.clean,
            "after": f.kit.head,
            "at": f.technician.stamp(),
        },
        fresh=("use",),
        author_only=True,
    ),
    "start_visit": Example(_visit, fresh=("visit",)),
    "complete_visit": Example(
        lambda f: f.technician.done(f.start, note="All well"), fresh=("visit",)
    ),
    "report_mishap": Example(
        lambda f: mishap_args(
            client=f.client,
            visit=f.start["visit"],
            happened_at=f.technician.stamp(),
            told=[{"who": "family", "name": "Daughter", "at": f.technician.stamp()}],
            follow_up_on=f.technician.day(days=1),
        ),
        fresh=("mishap",),
    ),
    "add_to_mishap": Example(
        lambda f: {
            "mishap": f.mishap,
            "entry": ident(),
            "added_at": f.technician.stamp(),
            "note": "Called the daughter",
            "told": [{"who": "family", "name": "Daughter", "at": f.technician.stamp()}],
        },
        fresh=("entry",),
    ),
    "close_mishap": Example(
        lambda f: {
            "mishap": f.mishap,
            "entry": ident(),
            "note": "Healed; talked it over",
            "seen": 10**9,
        },
        by="owner",
        fresh=("entry",),
        about_client=False,
    ),
    "close_incident": Example(
        lambda f: {"incident": f.incident, "note": "Talked it over"},
        by="owner",
        about_client=False,
    ),
}
