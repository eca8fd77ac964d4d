"""Two cards of one person: nothing is lost, everyone's phone agrees, and what comes late lands
right."""

from typing import Any
from uuid import UUID

import pytest
from django.apps import apps
from django.db.models import ForeignKey, Model

from heelwright import evidence
from heelwright.commandlog import registry
from heelwright.commandlog.models import Access, CommandRecord, FeedRow, LoggedArgs
from heelwright.people.models import Client, ClientLikeness
from heelwright.people.rules import BLANK_CARD, joined
from heelwright.schedule.models import Booking
from heelwright.vault.fields import SealedField
from tests.factories import (
    GOOD_FEET,
    HEALTHY,
    REFERRED,
    client_args,
    ident,
    photo_args,
    sale_args,
    screen_args,
    sheet_args,
    waiting_args,
)
from tests.intake.signing import ClientPhone, Link, no_tries_before
from tests.sync.phone_model import PhoneModel, fresh
from tests.world import Hand, World

__all__ = ["no_tries_before"]


def merge(world: World, stays: str, goes: str) -> None:
    world.owner.do("merge_clients", {"stays": stays, "goes": goes})


def with_records(hand: Hand) -> str:
    """A client with a row of every kind that follows."""
    client = hand.register(name="Ana Novak", born="1944-03-01", note="Dog in the yard")
    start = hand.ready(client)
    lot = {"use": ident(), "lot": ident(), "count": 2, "at": hand.stamp()}
    hand.do("complete_visit", hand.done(start, note="All well", kit={"items": [lot]}))
    mishap = hand.mishap(client, visit=start["visit"])
    hand.do("add_to_mishap", {"mishap": mishap, "entry": ident(), "added_at": hand.stamp()})
    referral = hand.screen(client, REFERRED)
    step = {"step": ident(), "referral": referral, "what": "handed_over", "how": "family"}
    hand.do("record_referral_step", {**step, "to": "Daughter", "done_at": hand.stamp()})
    hand.answer(referral)
    slip = hand.screen(client, REFERRED)
    hand.do("mark_entered_in_error", {"what": "health_screen", "row": slip, "reason": "A slip"})
    hand.do(
        "record_clearance",
        {
            "clearance": ident(),
            "client": client,
            "clinician": "Dr Invented",
            "clinician_role": "General practitioner",
            "given_on": hand.day(),
            "expires_on": hand.day(days=90),
            "covers": ["kidney"],
            "scope": "Filing of callus",
        },
    )
    hand.do(
        "withdraw_consent",
        {"consent": start["consent"], "reason": "No more", "withdrawn_at": hand.stamp()},
    )
    hand.do("record_photo", photo_args(client=client, taken_at=hand.stamp()))
    hand.do("wait_for_visit", waiting_args(client=client, since=hand.stamp(), first=hand.day()))
    hand.do("record_sale", sale_args(client=client, day=hand.day()))
    hand.do("record_consent_sheet", sheet_args(client=client, decided_at=hand.stamp()))
    assert ClientPhone(Link(hand, client=client).offered()).open().status_code == 200
    return client


def rows_of(client: str) -> dict[tuple[str, object], dict[str, Any]]:
    """Every row that belongs to a client, opened, without saying whose it is."""
    found: dict[tuple[str, object], dict[str, Any]] = {}
    for model, field in registry.followers().items():
        for row in model._default_manager.filter(**{field: client}):
            values = {f.attname: getattr(row, f.attname) for f in row._meta.concrete_fields}
            assert str(values.pop(field)) == client
            found[model.__name__, row.pk] = values
    return found


def columns_of(client: str) -> dict[str, object]:
    """The card's sealed fields as they are once opened."""
    card = Client.objects.get(pk=client)
    sealed = [f for f in card._meta.concrete_fields if isinstance(f, SealedField)]
    return {f.attname: getattr(card, f.attname) for f in sealed}


def test_everything_goes_over_and_can_be_opened(world: World) -> None:
    goes = with_records(world.technician)
    before = rows_of(goes)
    kinds = {name for name, _ in before}
    # A withdrawn clearance is made by a command of its own, tested where that is; what a house is
    # told of its residents is made anew.
    elsewhere = {"ClearanceWithdrawal", "NotReady", "ResidentState"}
    declared = {model.__name__ for model in registry.followers()} - elsewhere
    assert kinds == declared
    kept = rows_of(world.client)
    merge(world, world.client, goes)
    assert rows_of(world.client) == before | kept
    assert rows_of(goes) == {}
    for chain in (world.client, goes):
        assert evidence.verify(UUID(chain)).stands


def test_every_row_about_a_client_is_declared_to_follow() -> None:
    """A new model that nobody declares would be left behind under the card that went."""
    stay = {ClientLikeness, Client}
    for model in apps.get_models():
        names = {f.attname for f in model._meta.concrete_fields if _points_at_client(f)}
        if names and model not in stay:
            assert names == {registry.followers().get(model)}, model.__name__


def _points_at_client(field: Any) -> bool:
    own: type[Model] | None = field.related_model if isinstance(field, ForeignKey) else None
    return own is Client or field.attname == "client_ref"


def test_nothing_personal_stays_on_the_card_that_goes(world: World) -> None:
    goes = with_records(world.technician)
    merge(world, world.client, goes)
    empty = ["status", "status_since", "corridor", "see_last", "position"]
    empty += ["visit_times", "preferred_staff", "may_wait", "needs_skills", "entry_note"]
    plain: dict[str, Any] = dict.fromkeys(empty) | {"decides_for_self": True}
    assert columns_of(goes) == dict.fromkeys(columns_of(goes), "") | plain
    card = Client.objects.get(pk=goes)
    assert (card.facility_id, str(card.merged_into_id)) == (None, world.client)
    assert not ClientLikeness.objects.filter(client=card).exists()


def test_the_card_that_stays_keeps_its_word_and_gets_what_it_lacks(world: World) -> None:
    stays = world.technician.register(name="Ana Novak", phone="1", note="Speak up")
    goes = world.technician.register(
        name="Anna Nowak", phone="2", email="ana@novak.example", note="Dog in the yard",
        facility=world.facility, room="7", decides_for_self=False, status="in_hospital",
    )  # fmt: skip
    merge(world, stays, goes)
    row = fresh(world.owner).of("client")[UUID(stays)]
    assert (row["name"], row["phone"], row["email"]) == ("Ana Novak", "1", "ana@novak.example")
    assert row["note"] == "Speak up\nDog in the yard"
    assert (row["facility"], row["room"]) == (world.facility, "7")
    assert (row["decides_for_self"], row["status"]) == (False, "in_hospital")
    assert row["merged"] == [goes]


def test_whoever_had_the_card_that_goes_has_the_one_that_stays(world: World) -> None:
    stays = world.owner.register()
    hands = [world.owner, world.technician, world.colleague, world.coordinator]
    world.owner.do("assign_client", {"client": world.resident, "staff": world.colleague.id})
    phones = [PhoneModel(hand).sync() for hand in hands]
    merge(world, stays, world.resident)
    for phone in phones:
        assert phone.sync().rows == fresh(phone.hand).rows
        seen = {str(id_) for id_ in phone.of("client")}
        assert stays in seen
        assert world.resident not in seen
        assert not [row for row in phone.rows.values() if str(row[0]) == world.resident]
    assert not Access.objects.filter(scope=world.resident, until=None).exists()
    entry = FeedRow.objects.get(kind="client", row_id=world.resident)
    assert entry.gone_at == world.owner.now


@pytest.mark.parametrize("who", ["technician", "coordinator"])
def test_only_the_owner_may(world: World, who: str) -> None:
    args = {"stays": world.client, "goes": world.resident}
    assert world.hands[who].no("merge_clients", args) == "not_allowed"


def test_cards_that_cannot_be_one(world: World) -> None:
    a, b, c = (world.technician.register() for _ in range(3))
    merge(world, b, a)

    def no(stays: str, goes: str) -> tuple[str, str | None]:
        refusal = world.owner.send("merge_clients", {"stays": stays, "goes": goes}).refusal
        assert refusal is not None
        return refusal.code, refusal.field

    assert no(b, b) == ("same_client", "goes")
    assert no(b, a) == ("merged_already", "goes")
    assert no(a, b) == ("merged_already", "stays")
    assert no(a, c) == ("merged_already", "stays")
    assert no(c, a) == ("merged_already", "goes")
    theirs = world.stranger.register()
    assert no(theirs, b) == ("not_found", "stays")
    assert no(b, theirs) == ("not_found", "goes")
    assert world.stranger.no("merge_clients", {"stays": theirs, "goes": b}) == "not_found"
    assert world.technician.no("register_client", client_args(client=a)) == "id_taken"


def test_a_chain_leads_to_its_end(world: World) -> None:
    a, b, c = (world.technician.register() for _ in range(3))
    first = world.technician.screen(a)
    merge(world, b, a)
    merge(world, c, b)
    second = world.technician.screen(a)
    third = world.technician.screen(b)
    rows = fresh(world.technician).of("health_screen")
    for screen in (first, second, third):
        assert rows[UUID(screen)]["client"] == c
    assert fresh(world.owner).of("client")[UUID(c)]["merged"] == sorted([a, b])


def test_what_was_entered_without_signal_lands_on_the_card_that_stays(world: World) -> None:
    """A whole visit to a client whose card was merged away in the meantime."""
    technician = world.technician
    goes = technician.register()
    booking = technician.book(goes)
    phone = PhoneModel(technician).sync()
    merge(world, world.client, goes)
    start = technician.ready(goes, booking=booking)
    technician.do("start_visit", start)
    technician.do("complete_visit", technician.done(start, note="All well"))
    visit = fresh(technician).of("visit")[UUID(str(start["visit"]))]
    assert (visit["client"], visit["state"]) == (world.client, "completed")
    assert visit["screen"] == start["screen"]
    assert phone.sync().rows == fresh(technician).rows
    log = LoggedArgs.objects.get(command__name="start_visit")
    assert str(log.subject) == world.client


def test_somebody_who_had_neither_card_may_not_follow(world: World) -> None:
    goes = world.technician.register()
    merge(world, world.client, goes)
    args = {"client": goes, "seen": 0, "changes": {"phone": "1"}}
    assert world.colleague.no("amend_client", args) == "not_found"


def amend(hand: Hand, client: str, seen: int, **changes: Any) -> str | None:
    receipt = hand.send("amend_client", {"client": client, "seen": seen, "changes": changes})
    return receipt.refusal.code if receipt.refusal else None


def test_a_late_change_of_the_card_that_went(world: World) -> None:
    """What it saw was the other card: where the two said the same it is taken, and where they did
    not, a person looks at both."""
    technician = world.technician
    goes = technician.register(name="Anna Nowak", born="1944-03-01", phone="1", email="a@b.example")
    stays = technician.register(name="Ana Novak", born="1944-03-01", phone="1", email="")
    seen = fresh(technician).rows["client", UUID(goes)][1]
    merge(world, stays, goes)
    assert amend(technician, goes, seen, phone="2") is None
    assert amend(technician, goes, seen, email="new@b.example") is None
    assert amend(technician, goes, seen, name="Anna Novak") == "changed_elsewhere"
    assert amend(technician, goes, seen, name="Ana Novak") is None
    card = Client.objects.get(pk=stays)
    assert (card.name, card.phone, card.email) == ("Ana Novak", "2", "new@b.example")
    newer = fresh(technician).rows["client", UUID(stays)][1]
    assert amend(technician, goes, newer, name="Anna Novak") is None


def test_a_late_change_after_two_merges(world: World) -> None:
    technician = world.technician
    a, b, c = (technician.register(name="Ana Novak", phone=n) for n in ("1", "1", "2"))
    seen = fresh(technician).rows["client", UUID(a)][1]
    merge(world, b, a)
    merge(world, c, b)
    assert amend(technician, a, seen, phone="3") == "changed_elsewhere"
    assert amend(technician, a, seen, address="2 Nowhere Lane") is None


def test_a_late_change_of_the_card_that_stays_is_none_of_the_mergers(world: World) -> None:
    stays = world.technician.register(phone="1", email="")
    goes = world.technician.register(phone="2", email="a@b.example")
    seen = fresh(world.technician).rows["client", UUID(stays)][1]
    merge(world, stays, goes)
    assert amend(world.technician, stays, seen, phone="3") is None
    assert amend(world.technician, stays, seen, email="c@d.example") == "changed_elsewhere"


def test_somebody_elses_change_before_the_merge_still_clashes(world: World) -> None:
    stays = world.technician.register(phone="9")
    goes = world.technician.register(phone="1")
    seen = fresh(world.technician).rows["client", UUID(goes)][1]
    world.owner.do("amend_client", {"client": goes, "seen": seen, "changes": {"phone": "9"}})
    merge(world, stays, goes)
    assert amend(world.technician, goes, seen, phone="2") == "changed_elsewhere"


def test_a_phone_that_changes_a_booking_and_does_not_know_of_the_merge(world: World) -> None:
    """It is asked to look again, since whose booking it is has changed; nothing is done by half."""
    technician = world.technician
    goes = technician.register()
    booking = world.owner.book(goes, staff=technician.id)
    phone = PhoneModel(technician).sync()
    cancel = {"booking": booking, "reason": "", "seen": phone.rows["booking", UUID(booking)][1]}
    merge(world, world.client, goes)
    refusal = technician.send("cancel_booking", cancel).refusal
    assert refusal is not None
    assert (refusal.code, refusal.about and str(refusal.about.id)) == ("changed_elsewhere", booking)
    seen = phone.sync().rows["booking", UUID(booking)]
    assert (str(seen[0]), seen[2]["client"]) == (world.client, world.client)
    technician.do("cancel_booking", {**cancel, "seen": seen[1]})


def test_a_referral_of_the_card_that_goes_holds_the_one_that_stays(world: World) -> None:
    technician = world.technician
    start = technician.ready(world.client)
    goes = technician.register()
    technician.screen(goes, REFERRED)
    merge(world, world.client, goes)
    start["screen"] = technician.screen(world.client)
    start["check"] = technician.check(world.client, str(start["screen"]))
    assert technician.no("start_visit", start) == "referral_unanswered"


def test_consent_screen_and_feet_of_the_card_that_goes_count(world: World) -> None:
    technician = world.technician
    goes = technician.register()
    start = technician.ready(goes)
    merge(world, world.client, goes)
    technician.do("start_visit", {**start, "client": world.client})


def test_bookings_that_overlap_afterwards_are_both_kept(world: World) -> None:
    technician = world.technician
    goes = technician.register()
    first = technician.book(world.client)
    second = world.owner.book(goes)
    merge(world, world.client, goes)
    states = Booking.objects.filter(client=UUID(world.client)).values_list("pk", "state")
    assert {(str(id_), state) for id_, state in states} >= {(first, "booked"), (second, "booked")}


def test_the_log_is_as_it_was_and_the_evidence_stands(world: World) -> None:
    goes = with_records(world.technician)
    before = {log.pk: (log.subject, log.sealed) for log in LoggedArgs.objects.all()}
    receipts = dict(CommandRecord.objects.values_list("pk", "receipt"))
    assert any(str(subject) == goes for subject, _ in before.values())
    merge(world, world.client, goes)
    assert evidence.verify(world.practice.pk).stands
    after = {log.pk: (log.subject, log.sealed) for log in LoggedArgs.objects.all()}
    assert {pk: after[pk] for pk in before} == before
    kept = CommandRecord.objects.filter(pk__in=receipts).values_list("pk", "receipt")
    assert dict(kept) == receipts


def test_a_name_under_which_somebody_was_known_is_still_noticed(world: World) -> None:
    stays = world.technician.register(name="Ana Novak", born="1944-03-01")
    goes = world.technician.register(name="Anica Horvat", born="1944-03-01")
    merge(world, stays, goes)
    again = world.technician.register(name="Horvat, A", born="1944-03-01")
    told = [i for i in fresh(world.owner).of("incident").values() if i["about_id"] == again]
    assert [(i["code"], i["reasons"]) for i in told] == [("client_entered_twice", [stays])]


def test_a_screen_of_an_older_app_that_names_the_card_that_went(world: World) -> None:
    goes = world.technician.register()
    merge(world, world.client, goes)
    args = screen_args(client=goes, screened_at=world.technician.stamp())
    world.colleague.do("record_screen", args)
    codes = {i["code"] for i in fresh(world.owner).of("incident").values()}
    assert "client_of_others" in codes


def test_an_older_app_that_names_the_card_that_went_knew_its_own(world: World) -> None:
    technician = world.technician
    goes = technician.register()
    first = technician.screen(goes)
    looked = technician.check(goes, first)
    world.owner.now = technician.later(minutes=1).now
    merge(world, world.client, goes)
    second = technician.later(minutes=1).screen(goes)
    again = technician.check(goes, second)
    held = fresh(world.owner)
    rows = {**held.of("health_screen"), **held.of("foot_check")}
    seen = {str(id_): row["seen"] for id_, row in rows.items()}
    assert (seen[second], seen[again]) == ([first], [looked])


def test_what_two_cards_say_together_refers_on(world: World) -> None:
    """Asked under one card, seen under the other: a reason only together. A healthy screen and foot
    check after it are no way past. Check: our own rule, docs/decisions/0097."""
    technician = world.technician
    stays, goes = technician.register(), technician.register()
    pregnant = technician.screen(stays, HEALTHY | {"pregnant": True})
    well = technician.screen(goes)
    technician.check(goes, well, GOOD_FEET | {"swelling_seen": "both_feet"})
    world.owner.now = technician.later(minutes=1).now
    merge(world, stays, goes)
    waiting = [row for row in fresh(world.owner).of("referral").values() if row["client"] == stays]
    # The swelling by itself asked for a clearance.
    assert sorted(row["level"] for row in waiting) == ["needs_clearance", "refer_first"]
    screen = technician.later(minutes=5).screen(stays, seen_screens=[pregnant, well])
    check = technician.check(stays, screen)
    start = {**technician.ready_ids(stays), "screen": screen, "check": check}
    assert technician.no("start_visit", start) == "referral_unanswered"


def test_two_healthy_cards_refer_nobody_on(world: World) -> None:
    technician = world.technician
    stays, goes = technician.register(), technician.register()
    for client in (stays, goes):
        technician.check(client, technician.screen(client))
    merge(world, stays, goes)
    assert not [row for row in fresh(world.owner).of("referral").values() if row["client"] == stays]


@pytest.mark.parametrize(
    ("stays", "goes", "note"),
    [
        ({"address": "A"}, {"address": "A", "entry_note": "Key safe"}, "Key safe"),
        ({"address": "A"}, {"address": "B", "entry_note": "Key safe"}, None),
        ({}, {"address": "B", "entry_note": "Key safe"}, "Key safe"),
        ({"address": "A", "entry_note": "Bell"}, {"address": "A", "entry_note": "Key"}, "Bell"),
    ],
)
def test_how_to_get_in_goes_with_its_address(
    stays: dict[str, Any], goes: dict[str, Any], note: str | None
) -> None:
    assert joined(BLANK_CARD | stays, BLANK_CARD | goes)["entry_note"] == note
