"""A client that lies: work on a held client, forged and revoked devices, ids of another practice.

Over HTTP, against the served app, with tokens that it gave out itself. Source of what must happen:
the design's principles (a permission is refused, a report is kept and flagged); no published one.
"""

from dataclasses import dataclass
from uuid import UUID

import pytest

from heelwright.ids import new_id
from tests.services.served import ServedApp
from tests.standards.clients import WELL
from tests.system.device import Device, Reply, ask, of_kind
from tests.system.home_visit import HomeVisit
from tests.system.practice import found, hire


@dataclass
class People:
    """One practice with two technicians, and the owner of another practice."""

    owner: Device
    tess: str
    carl: str
    stranger: Device


@pytest.fixture(scope="module")
def people(served_api: ServedApp) -> People:
    owner = found(served_api)
    tess, carl = "tess@practice.test", "carl@practice.test"
    for email in (tess, carl):
        hire(served_api, owner, email)
    return People(owner, tess, carl, found(served_api, "other@elsewhere.test", "Other Feet"))


@pytest.fixture
def technician(served_api: ServedApp, people: People) -> Device:
    """A new device of one and the same technician."""
    return Device.sign_in(served_api.base_url, people.tess)


def held_client(device: Device) -> HomeVisit:
    """Hot, swollen foot: referred. Everything that a visit needs is there, but for an answer."""
    day = HomeVisit(device.staff, answers=WELL | {"hot_swollen_foot": True})
    device.must("register_client", **day.card())
    device.must("book_visit", **day.booked())
    device.must("record_screen", **day.screened())
    device.must("record_foot_check", **day.checked())
    device.must("sign_consent", **day.signed())
    return day


def refusal(reply: Reply) -> str:
    assert {"code", "field", "text", "remedy"} <= reply.body.keys()
    return str(reply.body["code"])


def test_a_visit_of_a_held_client_is_refused_and_its_report_kept_for_the_owner(
    served_api: ServedApp, people: People, technician: Device
) -> None:
    day = held_client(technician)

    refused = technician.do("start_visit", **day.started())
    assert refused["status"] == "refused"
    assert refused["refusal"]["code"] == "referral_unanswered"
    assert refused["refusal"]["field"] == "client"
    assert refused["refusal"]["text"] and refused["refusal"]["remedy"]
    assert ("visit", str(day.visit)) not in technician.pull()

    kept = technician.must("complete_visit", **day.completed(note="done all the same"))
    [incident] = kept["incidents"]
    rows = people.owner.pull()
    assert rows["visit", str(day.visit)]["state"] == "under_review"
    assert rows["visit", str(day.visit)]["record"]["note"] == "done all the same"
    assert rows["booking", str(day.booking)]["state"] == "booked"
    seen = rows["incident", incident]
    assert seen["code"] == "visit_of_held_client"
    assert (seen["about"], seen["about_id"]) == ("visit", str(day.visit))
    assert "referral_unanswered" in seen["reasons"]
    assert ("referral", str(day.check)) in rows

    elsewhere = Device.sign_in(served_api.base_url, people.carl).pull()
    assert not of_kind(elsewhere, "incident")
    assert not of_kind(elsewhere, "visit")
    assert not of_kind(elsewhere, "client")


def test_an_answer_of_the_tampering_kind_does_not_open_the_way(technician: Device) -> None:
    """Answering the questions again, milder, changes nothing while the referral stands."""
    day = held_client(technician)
    again = HomeVisit(technician.staff, client=day.client, booking=day.booking, consent=day.consent)
    technician.must("record_screen", **again.screened(screened_at=day.after(20)))
    technician.must("record_foot_check", **again.checked(checked_at=day.after(21)))
    refused = technician.do("start_visit", **again.started(started_at=day.after(22)))
    assert refused["refusal"]["code"] == "referral_unanswered"


def test_a_milder_outcome_than_the_rulebook_finds_is_told_to_the_owner(
    people: People, technician: Device
) -> None:
    day = HomeVisit(technician.staff, answers=WELL | {"hot_swollen_foot": True})
    technician.must("register_client", **day.card())
    technician.must("record_screen", **day.screened())
    [incident] = technician.must("record_foot_check", **day.checked(shown_outcome="go"))[
        "incidents"
    ]
    rows = people.owner.pull()
    assert rows["incident", incident]["code"] == "milder_outcome_shown"
    assert ("referral", str(day.check)) in rows


def test_a_token_speaks_for_its_own_device_only(people: People, technician: Device) -> None:
    card = HomeVisit(technician.staff).card()
    for forged in (people.owner.id, new_id()):
        command = technician.command("register_client", **card)
        reply = technician.push(command, as_device=forged)
        assert (reply.status, refusal(reply)) == (400, "wrong_device")
        pulled = technician.ask(
            "POST", "/api/pull", {"protocol": 2, "device": str(forged), "cursor": None}
        )
        assert (pulled.status, refusal(pulled)) == (400, "wrong_device")
    assert ("client", str(card["client"])) not in people.owner.pull()


@pytest.mark.parametrize(
    "headers",
    [{}, {"Authorization": "Bearer made-up"}, {"Authorization": "Basic b3duZXI6cGFzcw=="}],
    ids=["none", "made up", "basic"],
)
def test_without_a_token_nothing_is_told(served_api: ServedApp, headers: dict[str, str]) -> None:
    asked = {"device": str(new_id()), "cursor": None}
    for method, path in (
        ("POST", "/api/pull"),
        ("POST", "/api/push"),
        ("GET", "/api/rulebook?protocol=2"),
    ):
        body = asked if method == "POST" else None
        reply = ask(served_api.base_url, method, path, body, headers)
        assert (reply.status, refusal(reply)) == (401, "not_signed_in")


def test_ids_of_another_practice_reach_nothing(people: People, technician: Device) -> None:
    theirs, stranger = held_client(technician), people.stranger
    before = technician.pull()
    mine = HomeVisit(
        stranger.staff, client=theirs.client, booking=theirs.booking, screen=theirs.screen,
        check=theirs.check, consent=theirs.consent, visit=theirs.visit,
    )  # fmt: skip
    answer = {"clinician": "A", "clinician_role": "gp", "answered_on": "2026-11-01", "answer": "ok"}
    tries: list[tuple[str, dict[str, object]]] = [
        ("amend_client", {"client": theirs.client, "seen": 0, "changes": {"name": "Taken"}}),
        ("assign_client", {"client": theirs.client, "staff": stranger.staff}),
        ("book_visit", mine.booked(booking=new_id())),
        ("cancel_booking", {"booking": theirs.booking, "seen": 9999}),
        ("record_screen", mine.screened(screen=new_id())),
        ("record_foot_check", mine.checked(check=new_id())),
        ("sign_consent", mine.signed(consent=new_id())),
        ("withdraw_consent", {"consent": theirs.consent, "withdrawn_at": theirs.after(30)}),
        ("record_referral_answer", {"referral": theirs.check, **answer}),
        ("start_visit", mine.started(visit=new_id())),
        ("complete_visit", mine.completed(visit=new_id())),
        ("revoke_device", {"device": technician.id}),
    ]
    for name, args in tries:
        receipt = stranger.do(name, **args)
        assert receipt["refusal"] and receipt["refusal"]["code"] == "not_found", (name, receipt)
    taken = HomeVisit(stranger.staff, client=theirs.client)
    assert stranger.do("register_client", **taken.card())["refusal"]["code"] == "id_taken"
    letter = stranger.ask("GET", f"/api/documents/referral_letter/{theirs.check}")
    assert (letter.status, refusal(letter)) == (404, "not_found")
    assert technician.pull() == before
    assert {kind for kind, _ in stranger.pull()} <= {"practice", "staff", "device"}
    assert technician.must("register_client", **HomeVisit(technician.staff).card())


def test_a_token_of_a_revoked_device_is_worth_nothing(
    served_api: ServedApp, people: People, technician: Device
) -> None:
    card = HomeVisit(technician.staff).card()
    waiting = technician.command("register_client", **card)
    people.owner.must("revoke_device", device=technician.id)
    for reply in (
        technician.push(waiting),
        technician.ask(
            "POST", "/api/pull", {"protocol": 2, "device": str(technician.id), "cursor": None}
        ),
        technician.ask("GET", "/api/rulebook?protocol=2"),
        technician.ask("GET", f"/api/documents/referral_letter/{UUID(int=1)}"),
    ):
        assert (reply.status, refusal(reply)) == (403, "device_revoked")
    assert ("client", str(card["client"])) not in people.owner.pull()
    # The person themselves still works here: a new device of theirs is let in.
    assert Device.sign_in(served_api.base_url, people.tess).pull()


def test_the_same_number_with_other_content_is_a_cloned_device(
    people: People, technician: Device
) -> None:
    sent = technician.command("register_client", **HomeVisit(technician.staff).card())
    assert technician.push(sent).status == 200
    forged = sent | {"args": sent["args"] | {"name": "Somebody Else"}}
    reply = technician.push(forged)
    assert (reply.status, refusal(reply)) == (409, "device_cloned")
    assert people.owner.pull()["client", sent["args"]["client"]]["name"] == "Ida Invented"
    assert technician.push(sent).body["results"][0]["status"] == "already_applied"
