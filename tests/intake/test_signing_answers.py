"""What comes back by a link: taken once, as the sheet that it is. Check: our own rules, unless
said."""

from datetime import UTC, datetime, timedelta
from typing import Any
from uuid import UUID

import pytest

from heelwright import evidence
from heelwright.commandlog.models import CommandRecord, Incident, LoggedArgs
from heelwright.intake.consents import stands
from heelwright.intake.models import Consent, ConsentSheet
from heelwright.people.models import Client
from tests.database import everything
from tests.factories import decision, offered, sheet_args
from tests.intake.signing import ClientPhone, Link, link, no_tries_before, phone
from tests.intake.test_signing import code
from tests.sync.http import told
from tests.sync.phone_model import fresh
from tests.world import World

__all__ = ["link", "no_tries_before", "phone"]
RECEIVED = (200, b'{"received": true, "counts": true}')
VOID = b'{"received": true, "counts": false}'


def incidents(world: World) -> list[str]:
    """As the owner is told."""
    return sorted(row["code"] for row in fresh(world.owner).of("incident").values())


def holds(world: World, purpose: str = "treatment", client: str = "") -> bool:
    return stands(Client.objects.get(pk=client or world.client), world.technician.now, purpose)


def decided(link: Link) -> dict[str, tuple[bool, bool]]:
    rows = Consent.objects.filter(sheet=link.args["sheet"])
    return {row.text_id: (row.agreed, row.counts) for row in rows}


def test_a_yes_counts_as_on_the_technicians_phone(
    world: World, link: Link, phone: ClientPhone
) -> None:
    phone.open()
    world.technician.later(minutes=3)
    answer = phone.done(said="It is what I want")
    assert (answer.status_code, answer.content) == RECEIVED
    assert incidents(world) == []
    assert (holds(world), holds(world, "photos"), holds(world, "sharing")) == (True, True, False)
    sheet = ConsentSheet.objects.get(pk=link.args["sheet"])
    assert (sheet.device_kind, sheet.how, sheet.presented) == (
        "client_phone",
        "drawn",
        "large_print",
    )
    assert (sheet.staff_id, sheet.said) == (world.technician.staff.pk, "It is what I want")
    assert sheet.decided_at == world.technician.now
    assert sheet.picture.startswith("<svg")
    ids = {one["text_id"]: one["consent"] for one in link.args["texts"]}
    assert {str(row.pk) for row in sheet.decisions.all()} == set(ids.values())
    assert UUID(ids["foot_care"]) in fresh(world.technician).of("consent")


def test_a_visit_rests_on_it(world: World, link: Link, phone: ClientPhone) -> None:
    hand = world.technician
    start = hand.ready(world.client, booking=hand.book(world.client))
    hand.do("withdraw_consent", {"consent": start["consent"], "withdrawn_at": hand.stamp()})
    assert hand.no("start_visit", {**start, "started_at": hand.stamp()}) == "no_consent"
    phone.open()
    hand.later(minutes=1)
    phone.done()
    start |= {"consent": link.args["texts"][0]["consent"], "started_at": hand.stamp()}
    hand.do("start_visit", start)


def test_sent_again_it_is_the_same(world: World, link: Link, phone: ClientPhone) -> None:
    """Also after the link was taken back, and when another phone asks."""
    phone.open()
    answer = phone.answer()
    assert phone.post("done", answer).content == RECEIVED[1]
    before = everything()
    world.technician.later(hours=5)
    again = phone.post("done", answer)
    assert ((again.status_code, again.content), everything()) == (RECEIVED, before)
    link.ended()
    assert phone.post("done", answer).content == RECEIVED[1]
    assert decided(link) == {"foot_care": (True, True), "photos": (True, True)}


@pytest.mark.parametrize(
    "change",
    [{"agreed": False}, {"said": "No"}, {"presented": "read_self"}, {"signed": False}],
    ids=str,
)
def test_another_answer_after_it_is_not_taken(
    world: World, link: Link, phone: ClientPhone, change: dict[str, Any]
) -> None:
    phone.open()
    agreed = not change.get("signed", True)
    first = phone.answer(agreed=False) if agreed else phone.answer()
    assert phone.post("done", first).content == RECEIVED[1]
    before = everything()
    second = {**first, **phone.answer(**({"agreed": False} | change if agreed else change))}
    assert code(phone.post("done", second)) == (409, "link_answered")
    assert everything() == before


def test_a_no_needs_no_signature(world: World, link: Link, phone: ClientPhone) -> None:
    world.technician.consent(world.client)
    assert holds(world)
    phone.open()
    world.technician.later(minutes=1)
    answered = phone.done(agreed=False, signed=False, strokes=[], said="I do not want it")
    assert answered.content == RECEIVED[1]
    assert decided(link) == {"foot_care": (False, True), "photos": (False, True)}
    sheet = ConsentSheet.objects.get(pk=link.args["sheet"])
    assert (sheet.how, sheet.said, sheet.picture) == ("unsigned", "I do not want it", "")
    assert not holds(world)
    assert incidents(world) == []


def test_what_was_not_answered_is_not_a_no(world: World, link: Link, phone: ClientPhone) -> None:
    phone.open()
    phone.done(answers=[{"text_id": "foot_care", "agreed": True}])
    assert decided(link) == {"foot_care": (True, True)}
    assert incidents(world) == []


def test_in_the_language_that_the_client_reads(
    world: World, link: Link, phone: ClientPhone
) -> None:
    phone.open()
    assert phone.done(language="es").content == RECEIVED[1]
    row = Consent.objects.get(sheet=link.args["sheet"], text_id="foot_care")
    assert row.text_hash == offered("foot_care", "es")["text_hash"]
    assert (ConsentSheet.objects.get().language, incidents(world)) == ("es", [])


@pytest.mark.parametrize(
    ("change", "status", "no", "field"),
    [
        ({"signed": False}, 400, "no_signature", "strokes"),
        ({"strokes": []}, 400, "no_signature", "strokes"),
        ({"strokes": [[{"x": 1, "y": 1, "t": 1}] * 5001]}, 422, "too_long", "strokes.0"),
        ({"strokes": [[{"x": 1, "y": 1, "t": "Zq"}]]}, 422, "wrong_type", "strokes.0.0.t"),
        ({"answers": []}, 422, "too_short", "answers"),
        ({"answers": [{"text_id": "sharing", "agreed": True}]}, 400, "text_not_offered",
         "answers.0.text_id"),
        ({"answers": [{"text_id": "photos", "agreed": False}] * 2}, 400, "twice", "answers"),
        ({"answers": [{"text_id": "photos", "agreed": "Zq"}]}, 422, "wrong_type",
         "answers.0.agreed"),
        ({"answers": [{"text_id": "photos"}]}, 422, "missing_field", "answers.0.agreed"),
        ({"language": "xx"}, 400, "language_unknown", "language"),
        ({"language": "Zq"}, 422, "wrong_type", "language"),
        ({"presented": "Zq"}, 422, "wrong_type", "presented"),
        ({"said": "Zq\x00"}, 400, "odd_character", "said"),
        ({"said": "Zq" * 2001}, 422, "too_long", "said"),
        ({"shown_sha256": "Zq"}, 422, "wrong_type", "shown_sha256"),
        ({"decided_at": "Zq"}, 422, "wrong_type", "decided_at"),
        ({"decided_at": "2026-01-01T00:00:00"}, 422, "wrong_type", "decided_at"),
        ({"signed": None}, 422, "wrong_type", "signed"),
        ({"capacity": {}}, 422, "unknown_field", "capacity"),
        ({"phone": "Zq"}, 422, "wrong_type", "phone"),
    ],
)  # fmt: skip
def test_a_body_that_is_no_answer(
    phone: ClientPhone, change: dict[str, Any], status: int, no: str, field: str
) -> None:
    """The field is named, nothing is quoted, nothing is written, and a good one is taken after."""
    phone.open()
    before = everything()
    response = phone.post("done", phone.answer() | change)
    assert (code(response), told(response)["field"]) == ((status, no), field)
    assert b"Zq" not in response.content
    assert everything() == before
    assert phone.done().content == RECEIVED[1]


def test_a_yes_by_a_link_that_has_ended_is_kept_and_frees_nobody(
    world: World, link: Link, phone: ClientPhone
) -> None:
    phone.open()
    link.ended()
    assert phone.done().content == VOID
    assert decided(link) == {"foot_care": (True, False), "photos": (True, False)}
    assert (holds(world), holds(world, "photos")) == (False, False)
    assert incidents(world) == ["from_signing_link"]
    assert incidents(world) == sorted(
        row["code"] for row in fresh(world.technician).of("incident").values()
    )


def test_a_no_by_a_link_that_has_ended_counts(world: World, link: Link, phone: ClientPhone) -> None:
    """Beside a yes that does not."""
    said = [decision("foot_care"), decision("photos")]
    args = sheet_args(client=world.client, decided_at=world.technician.stamp(), decisions=said)
    world.technician.do("record_consent_sheet", args)
    assert holds(world, "photos")
    phone.open()
    link.ended()
    world.technician.later(minutes=1)
    answers = [{"text_id": "foot_care", "agreed": True}, {"text_id": "photos", "agreed": False}]
    assert phone.done(answers=answers).content == VOID
    assert decided(link) == {"foot_care": (True, False), "photos": (False, True)}
    assert (holds(world), holds(world, "photos")) == (True, False)


@pytest.mark.parametrize("leaves", [False, True])
def test_whoever_has_a_phone_that_is_shut_out_frees_nobody_by_its_links(
    world: World, link: Link, phone: ClientPhone, leaves: bool
) -> None:
    """And whoever answers by one that was opened before says no all the same."""
    no = ClientPhone(Link(world.technician, client=world.client).offered())
    phone.open()
    no.open()
    staff = world.technician.staff
    if leaves:
        staff.ended_at = world.now
        staff.save(update_fields=["ended_at"])
    else:
        world.owner.do("revoke_device", {"device": str(world.technician.device.pk)})
    assert phone.done().content == VOID
    assert decided(link) == {"foot_care": (True, False), "photos": (True, False)}
    assert not holds(world)
    assert no.done(agreed=False, signed=False, strokes=[]).content == RECEIVED[1]
    assert decided(no.link) == {"foot_care": (False, True), "photos": (False, True)}
    assert incidents(world) == ["from_signing_link"] * 2


def test_what_was_opened_in_time_is_taken_for_seven_days(
    world: World, link: Link, phone: ClientPhone
) -> None:
    late = ClientPhone(Link(world.technician, client=world.client).offered())
    phone.open()
    late.open()
    answers = [one.answer() for one in (phone, late)]
    world.technician.later(days=7, minutes=59)
    assert phone.post("done", answers[0]).content == RECEIVED[1]
    world.technician.later(minutes=1)
    before = everything()
    assert code(late.post("done", answers[1])) == (410, "link_over")
    # One that came in, and whose receipt was lost, did not come too late.
    assert code(phone.post("done", answers[0])) == (409, "link_answered")
    assert everything() == before


def test_an_answer_needs_the_phone_that_opened(
    world: World, link: Link, phone: ClientPhone
) -> None:
    phone.open()
    answer = phone.answer()
    other = ClientPhone(link)
    assert code(phone.post("done", answer | {"phone": other.secret})) == (409, "link_taken")
    unopened = ClientPhone(Link(world.technician, client=world.client).offered())
    unopened.opened = phone.opened
    late = unopened.answer()
    world.technician.later(hours=1)
    assert code(unopened.post("done", late)) == (410, "link_over")
    unknown = ClientPhone(Link(world.technician, client=world.client))
    unknown.opened = phone.opened
    assert code(unknown.done()) == (404, "link_unknown")


def test_a_server_that_has_forgotten_the_opening_takes_the_answer(
    world: World, link: Link, phone: ClientPhone
) -> None:
    """One that was restored from a backup, while the link still opens."""
    other = ClientPhone(Link(world.technician, client=world.client).offered())
    other.open()
    phone.opened = other.opened
    assert phone.done().content == RECEIVED[1]
    assert code(ClientPhone(link).open()) == (409, "link_answered")


def test_a_client_of_whom_nobody_said_that_they_can_decide(world: World, link: Link) -> None:
    unsure = Link(world.technician, client=world.client, capacity={"understands": True}).offered()
    phone = ClientPhone(unsure)
    phone.open()
    assert phone.done().content == RECEIVED[1]
    assert decided(unsure) == {"foot_care": (True, False), "photos": (True, False)}
    assert (holds(world), incidents(world)) == (False, ["consent_without_capacity"])


def test_what_a_phone_says_it_showed_is_checked(
    world: World, link: Link, phone: ClientPhone
) -> None:
    phone.open()
    assert phone.done(shown_sha256="0" * 64).content == RECEIVED[1]
    assert incidents(world) == ["consent_shown_differs"]


def test_a_mark_is_a_mark_on_any_phone(world: World, link: Link) -> None:
    marked = Link(world.technician, client=world.client, how="mark", witness="Eva Invented")
    phone = ClientPhone(marked.offered())
    phone.open()
    phone.done()
    sheet = ConsentSheet.objects.get(pk=marked.args["sheet"])
    assert (sheet.how, sheet.witness) == ("mark", "Eva Invented")


@pytest.mark.parametrize(
    ("clock", "counts_from", "flagged"),
    [
        # Set back, or lost: nothing was decided before it was shown.
        (datetime(1970, 1, 1, 0, 5, tzinfo=UTC), timedelta(0), []),
        (timedelta(days=-3), timedelta(0), []),
        (timedelta(seconds=90), timedelta(seconds=90), []),
        # Ahead: it counts from when the server had it.
        (timedelta(days=3), timedelta(minutes=2), ["clock_ahead"]),
        (datetime(2199, 1, 1, tzinfo=UTC), timedelta(minutes=2), ["clock_ahead"]),
    ],
    ids=str,
)
def test_the_clock_of_a_clients_phone_costs_no_answer_and_grants_nothing(
    world: World,
    link: Link,
    phone: ClientPhone,
    clock: datetime | timedelta,
    counts_from: timedelta,
    flagged: list[str],
) -> None:
    phone.open()
    opened = world.technician.now
    at = opened + clock if isinstance(clock, timedelta) else clock
    answer = phone.answer(decided_at=at.isoformat())
    world.technician.later(minutes=2)
    assert phone.post("done", answer).content == RECEIVED[1]
    row = Consent.objects.get(sheet=link.args["sheet"], text_id="foot_care")
    assert row.counted(row.signed_at) == opened + counts_from
    assert incidents(world) == flagged
    world.technician.later(minutes=2)
    assert phone.post("done", answer).content == RECEIVED[1]


def test_two_cards_that_become_one_keep_it(world: World, link: Link, phone: ClientPhone) -> None:
    """Whether it was answered before, or is after; a retry is a retry still."""
    before = ClientPhone(Link(world.technician, client=world.client).offered())
    before.open()
    phone.open()
    answer = before.answer()
    before.post("done", answer)
    stays = world.resident
    world.owner.do("merge_clients", {"stays": stays, "goes": world.client})
    assert before.post("done", answer).content == RECEIVED[1]
    assert phone.done().content == RECEIVED[1]
    sheets = ConsentSheet.objects.all()
    assert {str(sheet.client_id) for sheet in sheets} == {stays}
    assert len(sheets) == 2
    assert holds(world, client=stays)
    offers = fresh(world.technician).of("signing_offer").values()
    assert {row["client"] for row in offers} == {stays}
    for client in (stays, world.client):
        assert evidence.verify(UUID(client)).stands
    assert incidents(world) == []


def test_one_that_cannot_be_taken_is_told_of(world: World, link: Link, phone: ClientPhone) -> None:
    """The technician took the answers on their own phone meanwhile, under the same number."""
    args = sheet_args(client=world.client, decided_at=world.technician.stamp())
    world.technician.do("record_consent_sheet", {**args, "sheet": link.args["sheet"]})
    phone.open()
    assert phone.done(said="Zq words").content == RECEIVED[1]
    assert incidents(world) == ["not_taken_from_signing_link"]
    record = CommandRecord.objects.get(device=link.args["offer"])
    assert record.refusal_code == "id_taken"
    assert LoggedArgs.objects.get(command=record).sealed["said"] == "Zq words"
    assert Incident.objects.get().reasons == ["record_consent_sheet"]


def test_one_about_a_client_who_was_given_away_is_taken(
    world: World, link: Link, phone: ClientPhone
) -> None:
    phone.open()
    take = {"client": world.client, "staff": world.technician.id}
    world.owner.do("assign_client", take | {"staff": world.colleague.id})
    world.owner.do("unassign_client", take)
    assert phone.done().content == RECEIVED[1]
    assert holds(world)
    assert incidents(world) == ["client_of_others"]
    assert fresh(world.technician).of("signing_offer") == {}
