"""A link by which a client signs on their own phone: what it shows, to whom, and for how long.
Check: our own rules, unless said."""

import secrets
from datetime import datetime, timedelta
from typing import Any
from uuid import UUID

import pytest
from django.http import HttpResponse

from heelwright import evidence, vault
from heelwright.evidence.models import Link as ChainLink
from heelwright.intake.signing_models import SigningOffer, SigningOpening
from heelwright.people.books import book_of
from heelwright.rulebook.consent_texts import shown_as
from heelwright.tenancy.models import Device
from tests.database import everything
from tests.factories import HEALTHY, ident, offer_args, offered
from tests.intake.signing import ClientPhone, Link, link, no_tries_before, phone
from tests.sync.http import told
from tests.sync.phone_model import fresh
from tests.world import World

__all__ = ["link", "no_tries_before", "phone"]
OPENED = set(
    "signer_name signer_role ground authority client_first_name how language languages texts"
    " open_until practice_name technician_name".split()
)


def code(response: HttpResponse) -> tuple[int, str]:
    return response.status_code, told(response)["code"]


def row_of(world: World, link: Link) -> dict[str, Any]:
    return fresh(world.technician).of("signing_offer")[UUID(link.args["offer"])]


def test_it_shows_the_sitting_and_nothing_else(
    world: World, link: Link, phone: ClientPhone
) -> None:
    world.technician.screen(world.client, {**HEALTHY, "diabetes": True})
    assert phone.open().status_code == 200
    opened = phone.opened
    assert set(opened) == OPENED
    assert (opened["signer_name"], opened["client_first_name"]) == ("Client Invented", "")
    asks = (opened["practice_name"], opened["technician_name"])
    assert asks == (world.practice.name, world.technician.staff.name)
    assert opened["languages"] == ["en", "es"]
    assert datetime.fromisoformat(opened["open_until"]) == world.technician.now + timedelta(hours=1)
    content = book_of(world.practice).content
    for language, texts in opened["texts"].items():
        assert [text["id"] for text in texts] == ["foot_care", "photos"]
        assert [text["purpose"] for text in texts] == ["treatment", "photos"]
        for text in texts:
            assert set(text) == {"id", "purpose", "version", "title", "words"}
            known = shown_as(content, text["id"], text["version"], language)
            assert (text["title"], text["words"]) == known


def test_who_signs_for_a_client_is_told_a_first_name(world: World, link: Link) -> None:
    card = world.technician.register(name="Ana Maria Novak", note="Dog in the yard")
    stands_for = {"signer_role": "representative", "ground": "guardian", "signer_name": "Eva Novak"}
    other = ClientPhone(Link(world.technician, client=card, **stands_for).offered())
    response = other.open()
    assert (other.opened["client_first_name"], other.opened["signer_name"]) == ("Ana", "Eva Novak")
    for hidden in (b"Maria", b"Dog", b"1944", card.encode()):
        assert hidden not in response.content


@pytest.mark.parametrize("name", ["\x1c", "\x1f \x1e"])
def test_a_name_of_nothing_to_read_breaks_nothing(world: World, link: Link, name: str) -> None:
    """Python takes U+001C to U+001F for spaces; Unicode has them as separators of data."""
    card = world.technician.register(name=name)
    stands_for = {"signer_role": "representative", "ground": "guardian", "signer_name": "Eva Novak"}
    other = ClientPhone(Link(world.technician, client=card, **stands_for).offered())
    assert other.open().status_code == 200
    assert other.opened["client_first_name"] == ""


def test_it_opens_on_one_phone(world: World, link: Link, phone: ClientPhone) -> None:
    first = phone.open()
    before = everything()
    world.technician.later(minutes=5)
    assert (phone.open().content, everything()) == (first.content, before)
    other = ClientPhone(link)
    assert code(other.open()) == (409, "link_taken")
    assert everything() == before
    assert row_of(world, link)["opened_at"] is not None


def test_it_opens_for_an_hour_by_the_servers_clock(world: World, link: Link) -> None:
    """Whatever the technician's phone says of when it was offered."""
    hand = world.technician
    past = Link(hand, client=world.client, offered_at=hand.stamp(days=-2)).offered()
    hand.later(minutes=59, seconds=59)
    assert ClientPhone(past).open().status_code == 200
    hand.later(seconds=1)
    assert code(ClientPhone(link).open()) == (410, "link_over")


def test_one_that_was_taken_back_opens_no_more(
    world: World, link: Link, phone: ClientPhone
) -> None:
    phone.open()
    link.ended()
    at = row_of(world, link)["ended_at"]
    world.technician.later(minutes=1)
    link.ended()
    assert row_of(world, link)["ended_at"] == at
    for one in (phone, ClientPhone(link)):
        assert code(one.open()) == (410, "link_over")


def test_one_that_was_answered_opens_no_more(link: Link, phone: ClientPhone) -> None:
    phone.open()
    assert phone.done().status_code == 200
    for one in (phone, ClientPhone(link)):
        assert code(one.open()) == (409, "link_answered")


def test_one_that_is_not_here_may_come_yet(world: World, link: Link) -> None:
    """The client may be quicker than the technician's signal."""
    late = Link(world.technician, client=world.client)
    early = ClientPhone(late)
    assert code(early.open()) == (404, "link_unknown")
    late.offered()
    assert early.open().status_code == 200


def test_it_ends_with_the_phone_that_made_it(world: World, link: Link, phone: ClientPhone) -> None:
    world.owner.do("revoke_device", {"device": str(world.technician.device.pk)})
    assert code(phone.open()) == (410, "link_over")


def test_it_ends_with_the_work_of_who_made_it(world: World, link: Link, phone: ClientPhone) -> None:
    staff = world.technician.staff
    staff.ended_at = world.now
    staff.save(update_fields=["ended_at"])
    assert code(phone.open()) == (410, "link_over")


def test_of_a_client_who_was_purged_it_shows_nothing(
    world: World, link: Link, phone: ClientPhone
) -> None:
    """Names and texts are sealed under the client's key; the chain stands without it."""
    phone.open()
    answer = phone.answer()
    with vault.unit():
        vault.shred(UUID(world.client))
    assert code(phone.open()) == (410, "link_over")
    assert code(phone.post("done", answer)) == (410, "link_over")
    with pytest.raises(vault.SubjectShredded), vault.unit():
        SigningOffer.objects.get(pk=link.args["offer"]).signer_name  # noqa: B018 - it is opened
    assert evidence.verify(UUID(world.client)).stands


def test_nothing_of_it_lies_open(world: World) -> None:
    """Neither secret, nor a name; the hash of 32 random bytes can't be turned back."""
    given = {"signer_name": "Zq Signer", "authority": "Zq Paper", "place": "Zq Place"}
    shown = Link(world.technician, client=world.client, **given).offered()
    phone = ClientPhone(shown)
    phone.open()
    phone.done(said="Zq words")
    kept = repr(everything())
    for secret in (shown.token, phone.secret, "Zq words", *given.values()):
        assert secret not in kept


def test_its_steps_are_evidence_about_the_client(
    world: World, link: Link, phone: ClientPhone
) -> None:
    phone.open()
    phone.done()
    links = ChainLink.objects.filter(chain=world.client).order_by("number")
    kinds = list(links.values_list("what", flat=True))
    assert kinds == ["signingoffer", "signingopening", "consentsheet", "consent", "consent"]
    assert evidence.verify(UUID(world.client)).stands
    SigningOpening.objects.update(opened_at=world.now - timedelta(days=1))
    assert not evidence.verify(UUID(world.client)).stands


def test_whose_client_it_is_sees_how_far_it_is(
    world: World, link: Link, phone: ClientPhone
) -> None:
    row = row_of(world, link)
    assert (row["client"], row["staff"]) == (world.client, world.technician.id)
    assert row["purposes"] == ["treatment", "photos"]
    assert [row[step] for step in ("opened_at", "answered_at", "ended_at")] == [None] * 3
    for hand in (world.colleague, world.coordinator):
        assert fresh(hand).of("signing_offer") == {}
    phone.open()
    world.technician.later(minutes=1)
    phone.done()
    row = row_of(world, link)
    opened, answered = (datetime.fromisoformat(row[at]) for at in ("opened_at", "answered_at"))
    assert answered - opened == timedelta(minutes=1)


@pytest.mark.parametrize(
    ("change", "no"),
    [
        ({"signer_role": "representative"}, "no_authority"),
        ({"how": "mark"}, "no_witness"),
        ({"how": "paper"}, "wrong_type"),
        ({"texts": []}, "too_short"),
        ({"texts": [offered("foot_care"), offered("foot_care")]}, "twice"),
        ({"texts": [offered("foot_care") | {"version": 99}]}, "text_unknown"),
        ({"texts": [offered("foot_care", "es")]}, "text_unknown"),
        ({"texts": [offered("foot_care") | {"text_hash": "0" * 64}]}, "text_unknown"),
        ({"token_sha256": "0" * 63}, "wrong_type"),
        ({"client": ident()}, "not_found"),
    ],
)
def test_what_is_not_offered(world: World, change: dict[str, Any], no: str) -> None:
    args = offer_args(**{"client": world.client, "offered_at": world.technician.stamp(), **change})
    assert world.technician.no("offer_signing", args) == no
    assert not Device.objects.filter(pk=args["offer"]).exists()


@pytest.mark.parametrize("field", ["sheet", "token_sha256", "offer"])
def test_each_link_has_secrets_and_ids_of_its_own(world: World, link: Link, field: str) -> None:
    again = {"client": world.client, "offered_at": world.technician.stamp()}
    args = offer_args(**{**again, field: link.args[field]})
    assert world.technician.no("offer_signing", args) == "id_taken"


TOKEN = secrets.token_urlsafe(32)


@pytest.mark.parametrize(
    ("change", "no", "field"),
    [
        ({"token": "short"}, "wrong_type", "token"),
        ({"token": None}, "wrong_type", "token"),
        ({"token": TOKEN[:-1] + "="}, "wrong_type", "token"),
        ({"token": TOKEN + "\n"}, "wrong_type", "token"),
        ({"phone": ["x"]}, "wrong_type", "phone"),
        ({"client": "x"}, "unknown_field", "client"),
    ],
)
def test_a_body_that_is_no_opening(
    phone: ClientPhone, change: dict[str, Any], no: str, field: str
) -> None:
    response = phone.open(**change)
    assert (code(response), told(response)["field"]) == ((422, no), field)


def test_an_address_may_try_sixty_times_a_minute(world: World, link: Link) -> None:
    """Of both together; from another address it goes on. Sixty: our own rule, no source."""
    phone = ClientPhone(link)
    paths = ["open", "done"]
    tried = [
        phone.post(paths[n % 2], {"token": TOKEN, "phone": TOKEN}).status_code for n in range(60)
    ]
    assert set(tried) == {404, 422}
    response = phone.open()
    assert (code(response), response.headers["Retry-After"]) == ((429, "too_many"), "60")
    elsewhere = {"token": link.token, "phone": phone.secret}
    assert phone.post("open", elsewhere, REMOTE_ADDR="198.51.100.7").status_code == 200
