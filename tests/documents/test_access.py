"""Who gets the letter, and what the others are told. Source: the project's permission table."""

import pytest
from pypdf import PdfReader

from tests.documents.papers import asked_for, referred, words_of
from tests.world import World

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize("who", ["owner", "technician"])
def test_those_who_have_the_client_get_it(world: World, who: str) -> None:
    answer = asked_for(world.hands[who], referred(world))
    assert answer.status_code == 200
    assert answer.headers["Content-Type"] == "application/pdf"
    assert answer.headers["Cache-Control"] == "no-store"
    assert "Client Invented" in words_of(answer.content)


@pytest.mark.parametrize("who", ["colleague", "coordinator", "stranger"])
def test_others_are_told_there_is_none(world: World, who: str) -> None:
    answer = asked_for(world.hands[who], referred(world))
    assert answer.status_code == 404
    assert answer.json()["code"] == "not_found"  # type: ignore[attr-defined]


def test_a_coordinator_gets_no_letter_about_a_resident_of_hers(world: World) -> None:
    answer = asked_for(world.coordinator, referred(world, client=world.resident))
    assert answer.status_code == 404


def test_a_colleague_gets_it_from_the_moment_the_client_is_theirs(world: World) -> None:
    referral = referred(world)
    assert asked_for(world.colleague, referral).status_code == 404
    world.owner.do("assign_client", {"client": world.client, "staff": world.colleague.id})
    assert asked_for(world.colleague, referral).status_code == 200
    world.owner.do("unassign_client", {"client": world.client, "staff": world.colleague.id})
    assert asked_for(world.colleague, referral).status_code == 404


def test_a_phone_that_was_switched_off_is_told_so(world: World) -> None:
    answer = asked_for(world.revoked, referred(world))
    assert answer.status_code == 403
    assert answer.json()["code"] == "device_revoked"  # type: ignore[attr-defined]


def test_nobody_gets_it_without_signing_in(world: World) -> None:
    answer = asked_for(None, referred(world))
    assert answer.status_code == 401
    assert answer.json()["code"] == "not_signed_in"  # type: ignore[attr-defined]


@pytest.mark.parametrize(
    ("paper", "row", "status", "field"),
    [
        ("referral_letter", "01890000-0000-7000-8000-000000000000", 404, "row_id"),
        ("shopping_list", "01890000-0000-7000-8000-000000000000", 404, "name"),
        ("referral_letter", "not-a-number", 422, "row_id"),
    ],
)
def test_what_is_not_there_is_told_with_its_field(
    world: World, paper: str, row: str, status: int, field: str
) -> None:
    answer = asked_for(world.owner, row, paper)
    assert answer.status_code == status
    told = answer.json()  # type: ignore[attr-defined]
    assert told["code"]
    assert told["field"] == field
    assert told["remedy"]


def test_a_foot_check_that_refers_nobody_has_no_letter(world: World) -> None:
    screen = world.technician.screen(world.client)
    check = world.technician.check(world.client, screen)
    assert asked_for(world.owner, check).status_code == 404


def test_the_letter_carries_no_name_in_what_a_browser_shows_of_it(world: World) -> None:
    import io

    answer = asked_for(world.owner, referred(world))
    assert answer.headers["Content-Disposition"] == 'inline; filename="referral_letter.pdf"'
    about = PdfReader(io.BytesIO(answer.content)).metadata
    assert about is not None
    assert "Client" not in str(dict(about))
