"""A practice with something on every screen: a client who may be worked on, one who is referred,
one whose visit is done, a house, an incident, a kit."""

from dataclasses import dataclass
from datetime import timedelta
from uuid import UUID

from heelwright.ids import new_id
from tests.factories import (
    invoice_args,
    item_args,
    link_args,
    paper_args,
    price_args,
    sale_args,
    vehicle_args,
    waiting_args,
)
from tests.services.served import ServedApp
from tests.standards.clients import WELL
from tests.system.device import Device
from tests.system.home_visit import Args, HomeVisit, noon_today
from tests.system.kit_bag import pack
from tests.system.practice import owner_of

OWNER = "owner@practice.test"
CRACK = {"foot": "left", "view": "sole", "region": "heel_centre", "what": "crack", "length_mm": 14}
CRACK |= {"id": str(new_id()), "depth_mm": 1.5, "state": "closed", "bleeding": False}
CRACK |= {"oozing": False, "note": "Dry edges."}


@dataclass
class Furnished:
    owner: Device
    ready: HomeVisit
    referred: HomeVisit
    done: HomeVisit
    kit: dict[str, str]
    vehicle: str
    house: UUID
    paper: str
    item: str
    sale: str
    round: str
    invoice: str

    @property
    def ids(self) -> dict[str, str]:
        """What stands for the parts of an address; of the kit, first for what comes before it."""
        return {
            "lot/kit_thing": self.kit["Invented gloves"],
            "product/kit_thing": self.kit["product"],
            "machine/kit_thing": self.kit["machine"],
            "new/kit_thing": self.kit["Set 7"],
            "client": str(self.ready.client),
            "facility": str(self.house),
            "round": self.round,
            "booking": str(self.ready.booking),
            "visit": str(self.done.visit),
            "referral": str(self.referred.check),
            "asked": str(self.ready.screen),
            "mishap": str(self.done.mishap),
            "finding": str(CRACK["id"]),
            "kit_thing": self.kit["Set 1"],
            "kit_load": self.kit["load"],
            "paper": self.paper,
            "staff": str(self.owner.staff),
            "kind": "set",
            "step": "take_out",
            "from": "visit",
            "day": self.ready.starts_at.date().isoformat(),
            "clock": "1200",
            "long": "60",
            "occasion": "on_arrival",
            "vehicle": self.vehicle,
            "price_item": self.item,
            "sale": self.sale,
            "invoice": self.invoice,
        }


def furnish(app: ServedApp) -> Furnished:
    owner = owner_of(app)
    noon = noon_today()
    ready, referred, done = (
        HomeVisit(owner.staff, answers, findings, starts_at=noon + timedelta(hours=hour))
        for hour, answers, findings in (
            (0, WELL, [CRACK]),
            (1, WELL | {"hot_swollen_foot": True}, []),
            (2, WELL, []),
        )
    )
    house = new_id()
    owner.must("register_facility", facility=house, name="Invented House", address="1 Long Lane")
    cards: list[tuple[HomeVisit, Args]] = [
        (ready, {"name": "Ida Invented", "note": "Speak up.", "address": "2 Made-up Row"}),
        (referred, {"name": "Oda Otherwise", "facility": house, "room": "14"}),
        (done, {"name": "Una Untrue", "phone": "555 0100", "contact_name": "Bo Untrue"}),
    ]
    for day, card in cards:
        owner.must("register_client", **day.card(**card))
        owner.must("book_visit", **day.booked())
        owner.must("record_screen", **day.screened())
        owner.must("record_foot_check", **day.checked())
        owner.must("sign_consent", **day.signed(signer_name=card["name"]))
    owner.must("complete_visit", **referred.completed())
    owner.must("start_visit", **done.started())
    told = {"aftercare": ["dry_between_toes", "warning_signs"], "weeks_until_next": 5}
    owner.must("complete_visit", **done.completed(work_done=["nails_cut"], **told))
    owner.must("report_mishap", **done.went_wrong(follow_up_on=str(noon.date())))
    vehicle = vehicle_args()
    owner.must("register_vehicle", **vehicle)
    paper = paper_args(staff=str(owner.staff), expires_on=str(noon.date() + timedelta(days=20)))
    owner.must("record_paper", **paper)
    owner.must("share_calendar", **link_args())
    item = item_args()
    owner.must("set_price_item", **item)
    owner.must("set_price", **price_args(item=item["item"], tax="20"))
    sale = sale_args(client=done.client, visit=done.visit, day=str(noon.date()), paid="not_yet")
    owner.must("record_sale", **sale)
    ids = (
        str(vehicle["vehicle"]),
        house,
        str(paper["paper"]),
        str(item["item"]),
        str(sale["sale"]),
    )
    waits = waiting_args(
        client=done.client, since=done.after(0), first=str(noon.date() + timedelta(days=1))
    )
    owner.must("wait_for_visit", **waits, note="Rings back after four.")
    resident = HomeVisit(owner.staff, starts_at=noon + timedelta(days=3))
    owner.must("register_client", **resident.card(name="Rae Resident", facility=house, room="4"))
    walked_on = (noon + timedelta(days=3)).date().isoformat()
    walk = {"round": new_id(), "facility": house, "day": walked_on, "visits": [resident.booked()]}
    owner.must("plan_round", **walk)
    return Furnished(
        owner, ready, referred, done, pack(owner), *ids, str(walk["round"]), _billed(owner, house)
    )


def _billed(owner: Device, house: UUID) -> str:
    """One invoice, and another sale that waits for one."""
    today = str(noon_today().date())
    sales = [sale_args(facility=house, day=today, paid="not_yet") for _ in range(2)]
    for sale in sales:
        owner.must("record_sale", **sale)
    told = invoice_args(facility=house, sales=[sales[0]["sale"]], day=today, first_number=118)
    owner.must("issue_invoice", **told)
    return str(told["invoice"])
