"""Screens that must not lead on: what holds a client is said at once, with what to do next.

Check: our own rule; the answers fire rules of the base book; axe as in test_axe.
"""

from collections.abc import Callable
from datetime import timedelta
from typing import Any

import pytest
from playwright.sync_api import expect

from heelwright.ids import new_id
from tests.services.phone import Phone
from tests.services.served import ServedApp
from tests.standards.clients import WELL
from tests.system.device import Device, of_kind
from tests.system.furnished import OWNER
from tests.system.hands import Hands
from tests.system.home_visit import HomeVisit, noon_today
from tests.system.practice import hire, owner_of
from tests.system.test_axe import Looker

# What is answered, a word of the rule that it fires, and whether the feet may still be seen.
ASKED_FOR = {
    "clearance": ({"ulcer_before": True}, "ulcer", True),
    "referral": ({"gout_now": True}, "gout", True),
    "emergency": ({"chest_or_breath": True}, "chest", False),
}


@pytest.fixture
def owner(live_server_process: ServedApp) -> Device:
    return owner_of(live_server_process)


def visit_of(owner: Device, answers: dict[str, Any], **card: Any) -> HomeVisit:
    visit = HomeVisit(owner.staff, WELL | answers, starts_at=noon_today())
    owner.must("register_client", **visit.card(**card))
    owner.must("book_visit", **visit.booked())
    return visit


def at_work(phone: Phone) -> Looker:
    phone.open().set_default_timeout(60_000)
    hands = Hands(phone)
    hands.sign_in(OWNER)
    hands.waits_until_sent()
    return Looker(hands)


def asked_up_to_the_outcome(hands: Hands, answers: dict[str, Any]) -> None:
    hands.open_client("Ida Invented")
    hands.step_on("Health questions")
    hands.sees("Do you feel ill today")
    hands.answer_all(WELL | answers | {"ulcer_healed": True}, "Who answered?")
    hands.choose("The client")
    hands.tap("Save answers")
    hands.page.wait_for_url("**/outcome")


def leads_nowhere(looker: Looker) -> None:
    page = looker.hands.page
    expect(page.get_by_role("button", name="Start the visit")).to_have_count(0)
    expect(page.get_by_text("Limits for this client")).to_have_count(0)
    expect(page.get_by_text("Go", exact=True)).to_have_count(0)
    expect(page.get_by_text("Go, within limits")).to_have_count(0)


@pytest.mark.parametrize("asks", ASKED_FOR)
def test_a_need_is_said_before_the_feet_are_looked_at(
    owner: Device, new_phone: Callable[[str], Phone], asks: str
) -> None:
    answers, word, may_look = ASKED_FOR[asks]
    visit = visit_of(owner, answers)
    looker = at_work(new_phone("owner"))
    hands = looker.hands
    asked_up_to_the_outcome(hands, answers)
    hands.sees("Do not start.")
    hands.sees(word)
    offered = hands.page.get_by_text("The feet were not looked at", exact=True)
    expect(offered).to_have_count(1 if may_look else 0)
    leads_nowhere(looker)
    looker.look(f"held-{asks}")
    hands.page.goto(f"/#/booking/{visit.booking}/visit")
    hands.sees("There is no way round this.")
    hands.sees(word)
    leads_nowhere(looker)
    looker.look(f"held-{asks}-visit")
    hands.page.goto(f"/#/client/{visit.client}")
    hands.sees("Stop: see why")
    leads_nowhere(looker)
    looker.look(f"held-{asks}-card")
    assert not looker.found, "\n\n".join(looker.found)


def test_a_no_is_told_alike_wherever_the_client_is_met(
    owner: Device, new_phone: Callable[[str], Phone]
) -> None:
    visit = visit_of(owner, {"gout_now": True})
    owner.must("record_screen", **visit.screened())
    [referral] = of_kind(owner.pull(), "referral")
    said = {
        "clinician": "Dr Invented",
        "clinician_role": "gp",
        "answer": "Not before the gout goes",
    }
    today = visit.starts_at.date().isoformat()
    told = {"referral": referral, "answered_on": today, "verdict": "may_not"}
    owner.must("record_referral_answer", **said, **told)
    looker = at_work(new_phone("owner"))
    page = looker.hands.page
    where = {"card": f"client/{visit.client}", "book": f"client/{visit.client}/book"} | {
        "booking": f"booking/{visit.booking}",
        "today": "today",
        "attention": "attention",
    }
    for name, path in where.items():
        page.goto(f"/#/{path}")
        looker.hands.sees("A clinician said no")
        expect(page.get_by_text("aits for an answer")).to_have_count(0)
        looker.look(f"no-{name}")
    page.goto(f"/#/client/{visit.client}")
    for step in ("Foot check", "Visit"):
        held = page.get_by_role("link").filter(has_text=f"{step} Held: a clinician said no")
        expect(held).to_have_attribute("href", f"#/client/{visit.client}/outcome")
    page.goto(f"/#/client/{visit.client}/book")
    looker.hands.sees("A visit can be booked for when this is lifted.")
    expect(page.get_by_label("Day", exact=True)).to_have_value("")
    assert not looker.found, "\n\n".join(looker.found)


def test_a_yes_of_today_leads_to_the_questions(
    owner: Device, new_phone: Callable[[str], Phone]
) -> None:
    """It counts once they are asked again; nothing is too old, and nobody else is waited for."""
    visit = visit_of(owner, {"gout_now": True})
    owner.must("record_screen", **visit.screened())
    owner.must("record_foot_check", **visit.checked())
    [referral] = of_kind(owner.pull(), "referral")
    said = {"clinician": "Dr Invented", "clinician_role": "gp", "answer": "They may."}
    today = visit.starts_at.date().isoformat()
    told = {"referral": referral, "answered_on": today, "verdict": "may"}
    owner.must("record_referral_answer", **said, **told)
    looker = at_work(new_phone("owner"))
    hands, page = looker.hands, looker.hands.page
    for name, path in (
        ("outcome", f"client/{visit.client}"),
        ("visit", f"booking/{visit.booking}"),
    ):
        page.goto(f"/#/{path}/{name}")
        hands.sees("Ask the health questions again")
        for width in (320, 360):
            page.set_viewport_size({"width": width, "height": 780})
            looker.look(f"yes-{name}-{width}")
        for wrong in ("Too old to go by", "somebody else first", "Refer first"):
            expect(page.get_by_text(wrong)).to_have_count(0)
        leads_nowhere(looker)
    page.goto(f"/#/client/{visit.client}/outcome")
    hands.sees("A clinician has answered")
    hands.sees("Ask the questions again before you start.")
    hands.tap("Health questions")
    page.wait_for_url("**/screen")
    assert not looker.found, "\n\n".join(looker.found)


def test_no_go_is_said_while_anything_is_missing(
    owner: Device, new_phone: Callable[[str], Phone]
) -> None:
    visit = visit_of(owner, {"bruise_easily": True})
    owner.must("record_screen", **visit.screened())
    owner.must("record_foot_check", **visit.checked())
    looker = at_work(new_phone("owner"))
    hands = looker.hands
    hands.page.goto(f"/#/client/{visit.client}/outcome")
    hands.sees("Nobody has signed a consent that stands.")
    hands.sees("Limits, once you may start")
    leads_nowhere(looker)
    looker.look("held-consent")
    hands.page.goto(f"/#/booking/{visit.booking}/visit")
    hands.sees("Nobody has signed a consent that stands.")
    leads_nowhere(looker)
    looker.look("held-consent-visit")
    owner.must("sign_consent", **visit.signed())
    hands.fetch()
    hands.waits_until_sent()
    hands.page.goto(f"/#/client/{visit.client}/outcome")
    hands.sees("Go, within limits")
    hands.sees("Limits for this client")
    away = {"changes": {"status": "in_hospital"}, "seen": 1}
    owner.must("amend_client", client=visit.client, **away)
    hands.fetch()
    hands.waits_until_sent()
    for path in (f"client/{visit.client}/outcome", f"booking/{visit.booking}/visit"):
        hands.page.goto(f"/#/{path}")
        hands.sees("In hospital")
        leads_nowhere(looker)
        expect(hands.page.get_by_role("link", name="Change the card")).to_be_visible()
    looker.look("held-away-visit")
    assert not looker.found, "\n\n".join(looker.found)


def test_a_time_that_has_gone_by_is_asked_about(
    owner: Device, new_phone: Callable[[str], Phone]
) -> None:
    visit = visit_of(owner, {})
    looker = at_work(new_phone("owner"))
    hands = looker.hands
    hands.page.goto(f"/#/client/{visit.client}/book")
    book = hands.page.get_by_role("button", name="Book", exact=True)
    hands.sees("Still missing: Time")
    expect(book).to_be_disabled()
    gone = noon_today() - timedelta(days=1)
    hands.type("Day", gone.date().isoformat())
    hands.type("Time", "07:35")
    hands.sees("This time is past")
    expect(book).to_be_disabled()
    looker.look("booking-past")
    hands.choose("Yes, I mean this time")
    # Another time that is past is asked about anew.
    hands.type("Time", "07:40")
    expect(book).to_be_disabled()
    hands.type("Day", (gone + timedelta(days=9)).date().isoformat())
    expect(hands.page.get_by_text("This time is past")).to_have_count(0)
    expect(book).to_be_enabled()
    hands.type("Day", gone.date().isoformat())
    hands.choose("Yes, I mean this time")
    hands.tap("Book")
    hands.sees_heading("Ida Invented")
    hands.waits_until_sent()
    rows = of_kind(owner.pull(), "booking").values()
    assert min(row["starts_at"] for row in rows).startswith(gone.date().isoformat())
    assert not looker.found, "\n\n".join(looker.found)


def test_a_coordinator_sees_without_signal_that_a_resident_is_not_ready(
    owner: Device, live_server_process: ServedApp, new_phone: Callable[[str], Phone]
) -> None:
    house = new_id()
    cora = hire(live_server_process, owner, "cora@practice.test", "coordinator")
    owner.must("register_facility", facility=house, name="Invented House")
    owner.must("assign_facility", facility=house, staff=cora.staff)
    visit = visit_of(owner, {"gout_now": True}, facility=house, room="7")
    owner.must("record_screen", **visit.screened())
    phone = new_phone("cora")
    phone.open().set_default_timeout(60_000)
    looker = Looker(Hands(phone))
    hands, page = looker.hands, phone.page
    hands.sign_in("cora@practice.test")
    hands.waits_until_sent()
    phone.context.set_offline(True)
    where = {"today": "today", "residents": "residents", "card": f"client/{visit.client}"} | {
        "book": f"client/{visit.client}/book",
        "booking": f"booking/{visit.booking}",
    }
    for name, path in where.items():
        page.goto(f"/#/{path}")
        expect(page.get_by_text("Not ready to be visited").first).to_be_visible()
        for why in ("gout", "clinician", "eferred", "Stop"):
            expect(page.locator("main").get_by_text(why)).to_have_count(0)
        looker.look(f"not-ready-{name}")
    page.goto(f"/#/booking/{visit.booking}")
    hands.sees("Ask the practice.")
    page.goto("/#/attention")
    hands.sees("Nothing here needs you.")
    hands.sees("What concerns the work and the instruments goes to the technicians and the owner.")
    page.goto(f"/#/client/{visit.client}/book")
    expect(page.get_by_label("Day", exact=True)).to_have_value("")
    assert not looker.found, "\n\n".join(looker.found)
