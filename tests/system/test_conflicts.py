"""Two people who did not know of each other, and what the phone offers when it comes out.

Check: our own rule; axe as in test_axe.
"""

import re
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from typing import Any
from uuid import UUID

import pytest
from playwright.sync_api import Locator, expect

from heelwright.ids import new_id
from tests.services.phone import Phone
from tests.services.served import ServedApp
from tests.standards.clients import WELL
from tests.system.device import Device, of_kind
from tests.system.furnished import OWNER, Furnished, furnish
from tests.system.hands import Hands
from tests.system.home_visit import Args, HomeVisit
from tests.system.practice import hire
from tests.system.test_axe import Looker

SLOW = 60_000


@pytest.fixture
def practice(live_server_process: ServedApp) -> Furnished:
    return furnish(live_server_process)


@pytest.fixture
def looker(practice: Furnished, new_phone: Callable[[str], Phone]) -> Looker:
    """The owner's phone, signed in and in step."""
    phone = new_phone("owner")
    phone.open().set_default_timeout(SLOW)
    hands = Hands(phone)
    hands.sign_in(OWNER)
    hands.waits_until_sent()
    return Looker(hands)


def now() -> datetime:
    return datetime.now(UTC)


def entry(looker: Looker, name: str) -> Locator:
    """A card on the list of what needs attention."""
    looker.hands.page.goto("/#/attention")
    card = looker.hands.page.locator("main section.card", has_text=name).first
    expect(card).to_be_visible(timeout=SLOW)
    return card


def client_row(device: Device, client: UUID) -> dict[str, Any]:
    return of_kind(device.pull(), "client")[str(client)]


def test_both_sides_of_a_card_are_shown_and_mine_is_kept(
    practice: Furnished, looker: Looker
) -> None:
    hands, client = looker.hands, practice.ready.client
    hands.page.goto(f"/#/client/{client}/edit")
    hands.sees_heading("Change the card")
    expect(hands.page.get_by_label("Good to know")).to_have_value("Speak up.")
    hands.phone.context.set_offline(True)
    practice.owner.must("amend_client", client=client, seen=0, changes={"note": "A dog."})
    hands.type("Good to know", "The key is next door.")
    hands.tap("Save")
    hands.sees_heading("Ida Invented")
    hands.phone.context.set_offline(False)

    clash = entry(looker, "Change to a card")
    for words in ("You wrote", "The key is next door.", "It says now", "A dog."):
        expect(clash.get_by_text(words, exact=True).first).to_be_visible(timeout=SLOW)
    looker.look("attention-card-clash")
    hands.tap("Keep what I wrote")
    expect(clash).to_have_count(0, timeout=SLOW)
    hands.waits_until_sent()
    assert client_row(practice.owner, client)["note"] == "The key is next door."
    assert not looker.found, "\n\n".join(looker.found)


def test_both_of_a_double_booking_are_named_and_another_time_is_chosen(
    practice: Furnished, looker: Looker
) -> None:
    hands, day = looker.hands, practice.ready
    hands.page.goto(f"/#/client/{practice.done.client}/book")
    hands.type("Day", day.starts_at.date().isoformat())
    hands.type("Time", "12:10")
    hands.books()
    hands.sees_heading("Una Untrue")

    clash = entry(looker, "Booking")
    expect(clash.get_by_role("definition").filter(has_text="Una Untrue")).to_be_visible(
        timeout=SLOW
    )
    expect(clash.get_by_role("link", name=re.compile("^Ida Invented"))).to_be_visible()
    looker.look("attention-double-booking")
    hands.page.goto(f"/#/client/{practice.done.client}/book")
    hands.type("Time", "09:50")
    hands.page.goto("/#/attention")
    hands.tap("Choose another time")
    hands.sees("You have begun this form anew since.")
    looker.look("attention-begun-anew")
    hands.tap("Go on with what I began")
    expect(hands.page.get_by_label("Time", exact=True)).to_have_value("09:50")
    hands.page.goto("/#/attention")
    hands.tap("Choose another time")
    hands.tap("Replace it with this one")
    expect(hands.page.get_by_label("Time", exact=True)).to_have_value("12:10")
    hands.type("Time", "16:40")
    hands.books()
    hands.sees_heading("Una Untrue")
    hands.waits_until_sent()
    theirs = [
        row["starts_at"][11:16]
        for row in of_kind(practice.owner.pull(), "booking").values()
        if row["client"] == str(practice.done.client) and row["state"] == "booked"
    ]
    assert len(theirs) == 1, theirs
    assert not looker.found, "\n\n".join(looker.found)


def test_a_client_entered_twice_becomes_one_and_the_records_follow(
    practice: Furnished, looker: Looker
) -> None:
    hands, stays, goes = looker.hands, practice.done.client, new_id()
    again = practice.done.card(name="Untrue, Una", phone="555 0177") | {"client": goes}
    practice.owner.must("register_client", **again)
    when = practice.done.starts_at + timedelta(days=3)
    booking = new_id()
    booked = {"booking": booking, "client": goes, "starts_at": when}
    practice.owner.must("book_visit", **(practice.done.booked() | booked))

    hands.fetch()
    card = entry(looker, "Compare both cards")
    expect(card.get_by_text("555 0177")).to_be_visible(timeout=SLOW)
    expect(card.get_by_text("555 0100")).to_be_visible()
    looker.look("attention-entered-twice")
    kept = card.locator("section", has=hands.page.get_by_role("link", name="Una Untrue"))
    kept.get_by_role("button", name="One person: keep this card").click()
    hands.sees("The other card, ")
    looker.look("attention-merge-sure")
    hands.tap("Yes, make them one")
    expect(card).to_have_count(0, timeout=SLOW)
    hands.waits_until_sent()

    rows = practice.owner.pull()
    assert str(goes) not in of_kind(rows, "client")
    assert str(goes) in of_kind(rows, "client")[str(stays)]["merged"]
    assert of_kind(rows, "booking")[str(booking)]["client"] == str(stays)
    hands.page.goto(f"/#/client/{goes}")
    hands.sees_heading("Una Untrue")
    expect(hands.page).to_have_url(re.compile(f"/client/{stays}$"))
    assert not looker.found, "\n\n".join(looker.found)


def test_bookings_of_a_client_in_hospital_are_cancelled_by_a_person(
    practice: Furnished, looker: Looker
) -> None:
    hands, client = looker.hands, practice.ready.client
    later = {"booking": new_id(), "starts_at": practice.ready.starts_at + timedelta(days=2)}
    practice.owner.must("book_visit", **(practice.ready.booked() | later))
    hands.page.goto(f"/#/client/{client}")
    expect(hands.page.get_by_text("Go", exact=True)).to_be_visible()
    hands.page.goto(f"/#/client/{client}/edit")
    hands.sees_heading("Change the card")
    hands.choose_in("Gets visits", "No, in hospital")
    looker.look("card-in-hospital")
    hands.tap("Save")
    hands.sees_heading("Ida Invented")
    hands.sees("Nobody can book or start a visit.")
    hands.waits_until_sent()
    looker.look("client-in-hospital")
    expect(hands.page.get_by_text("Go", exact=True)).to_have_count(0)

    card = entry(looker, "In hospital")
    looker.look("attention-in-hospital")
    card.get_by_role("button", name=re.compile("^Cancel th")).click()
    expect(card.get_by_label("In your own words")).to_have_value("")
    card.get_by_role("button", name=re.compile("^Yes, cancel")).click()
    expect(card).to_have_count(0, timeout=SLOW)
    hands.waits_until_sent()
    row = of_kind(practice.owner.pull(), "booking")[str(later["booking"])]
    assert (row["state"], row["reason"]) == ("cancelled", "in_hospital")
    hands.page.goto("/#/team")
    hands.sees("Without a connection")
    looker.look("team-offline-days")
    assert not looker.found, "\n\n".join(looker.found)


def test_of_two_screens_made_apart_the_worse_counts_until_somebody_asks_again(
    practice: Furnished, looker: Looker
) -> None:
    hands, day = looker.hands, practice.ready
    apart = HomeVisit(day.staff, WELL | {"kidney_failure": True}, client=day.client)
    practice.owner.must("record_screen", **apart.screened(seen_screens=[]))
    hands.fetch()
    card = entry(looker, "Two people asked")
    expect(card.get_by_text("Olive Owner: Wait for a clinician")).to_be_visible()
    looker.look("attention-asked-twice")
    card.get_by_role("link", name="Open the outcome").click()
    hands.sees_heading("Outcome")
    looker.look("outcome-asked-twice")
    assert not looker.found, "\n\n".join(looker.found)


def test_of_two_looks_made_apart_the_stricter_counts_until_somebody_looks_again(
    practice: Furnished, looker: Looker
) -> None:
    hands, day = looker.hands, practice.ready
    fragile = HomeVisit(day.staff, WELL | {"fragile_skin_seen": True}, client=day.client)
    practice.owner.must("record_foot_check", **fragile.checked(screen=day.screen, seen_checks=[]))
    hands.fetch()
    card = entry(looker, "Two people looked at the feet")
    looker.look("attention-looked-twice")
    card.get_by_role("link", name="Open the outcome").click()
    hands.sees_heading("Outcome")
    hands.sees("Looked at twice, apart")
    looker.look("outcome-looked-twice")
    hands.page.get_by_role("link", name="Foot check", exact=True).click()
    hands.page.wait_for_url("**/feet")
    assert not looker.found, "\n\n".join(looker.found)


def test_a_clearance_is_withdrawn_and_a_visit_made_after_it_goes_to_review(
    practice: Furnished, looker: Looker
) -> None:
    hands, owner = looker.hands, practice.owner
    day = with_a_clearance(owner)
    hands.fetch()
    hands.page.goto(f"/#/client/{day.client}")
    hands.sees("Holds until")
    hands.page.get_by_text("It holds no longer", exact=True).click()
    hands.type("Why, and who said so", "Dr Invented rang: new test results")
    looker.look("client-clearance")
    hands.tap("Record it as withdrawn")
    hands.sees("Withdrawn on")
    looker.look("client-clearance-withdrawn")
    hands.waits_until_sent()

    after = now()
    told = owner.do("complete_visit", **day.completed(started_at=after, ended_at=after))
    assert (told["status"], len(told["incidents"])) == ("applied", 1)
    hands.fetch()
    expect(entry(looker, "Kay Contrived").get_by_role("list")).to_be_visible()
    looker.look("attention-held-client")
    assert not looker.found, "\n\n".join(looker.found)


def test_whoever_is_in_a_visit_is_told_that_its_clearance_was_withdrawn(
    practice: Furnished, looker: Looker
) -> None:
    hands, owner = looker.hands, practice.owner
    day = with_a_clearance(owner)
    clearance = next(iter(of_kind(owner.pull(), "clearance")))
    hands.fetch()
    hands.page.goto(f"/#/booking/{day.booking}/visit")
    hands.sees("Only what the clinician said")
    hands.sees_heading("Limits for this client")
    looker.look("visit-cleared-start")
    hands.tap("Start the visit")
    hands.sees_heading("Visit")
    hands.waits_until_sent()
    owner.must("withdraw_clearance", clearance=clearance, reason="New", withdrawn_at=now())
    hands.fetch()
    hands.page.goto(f"/#/booking/{day.booking}/visit")
    hands.sees("Stop: something has changed")
    looker.look("visit-stopped")
    hands.tap("Go to sign-off")
    hands.sees("Stop: something has changed")
    assert not looker.found, "\n\n".join(looker.found)


def test_what_asked_for_a_clinician_stays_though_it_is_answered_otherwise(
    practice: Furnished, looker: Looker
) -> None:
    hands, owner = looker.hands, practice.owner
    day = HomeVisit(owner.staff, WELL | {"kidney_failure": True})
    again = HomeVisit(owner.staff, client=day.client)
    owner.must("register_client", **day.card(name="Kit Changed", born="1970-03-04"))
    owner.must("book_visit", **day.booked())
    owner.must("record_screen", **day.screened())
    owner.must("record_screen", **again.screened(seen_screens=[day.screen], screened_at=now()))
    owner.must("record_foot_check", **again.checked(checked_at=now()))
    owner.must("sign_consent", **day.signed(signer_name="Kit Changed"))
    hands.fetch()
    hands.page.goto(f"/#/client/{day.client}/outcome")
    hands.sees("Said before, and it stands")
    hands.sees("clearance is missing.")
    looker.look("outcome-said-before")
    hands.page.goto(f"/#/booking/{day.booking}/visit")
    expect(hands.page.get_by_role("button", name="Start the visit")).to_have_count(0)
    assert not looker.found, "\n\n".join(looker.found)


def with_a_clearance(owner: Device) -> HomeVisit:
    """Of a client of whom a clinician's word is needed, and there; booked, and all asked."""
    day = HomeVisit(owner.staff, WELL | {"kidney_failure": True})
    owner.must("register_client", **day.card(name="Kay Contrived", born="1971-08-09"))
    for name, args in (
        ("book_visit", day.booked()),
        ("record_screen", day.screened()),
        ("record_foot_check", day.checked()),
        ("record_clearance", cleared(day)),
        ("sign_consent", day.signed(signer_name="Kay Contrived")),
    ):
        owner.must(name, **args)
    return day


def cleared(day: HomeVisit) -> Args:
    said = {"clinician": "Dr Invented", "clinician_role": "gp", "scope": "Filing of callus"}
    said |= {"evidence_note": "Her letter"}
    today = day.arrived.date()
    until = {"given_on": today.isoformat(), "expires_on": (today + timedelta(days=30)).isoformat()}
    return {"clearance": new_id(), "client": day.client, "covers": ["kidney"]} | said | until


def test_who_was_shown_the_milder_of_two_outcomes_is_told_so(
    live_server_process: ServedApp, practice: Furnished, looker: Looker
) -> None:
    day = practice.ready
    tess = hire(live_server_process, practice.owner, "tess.looks@practice.test")
    practice.owner.must("assign_client", client=day.client, staff=tess.staff)
    fragile = HomeVisit(tess.staff, WELL | {"fragile_skin_seen": True}, client=day.client)
    tess.must("record_foot_check", **fragile.checked(screen=day.screen, seen_checks=[]))
    looker.hands.fetch()
    card = entry(looker, "Tess Technician: Go, within limits")
    expect(card.get_by_text("You: Go,")).to_be_visible()
    card.scroll_into_view_if_needed()
    looker.look("attention-shown-milder")
    card.get_by_role("link", name="Look again").click()
    looker.hands.sees_heading("Both feet")
    assert not looker.found, "\n\n".join(looker.found)
