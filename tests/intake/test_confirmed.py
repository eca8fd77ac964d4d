"""Answers that were confirmed from an earlier screen. Check: our own rule, no source."""

from typing import Any

from heelwright.rulebook import book_for
from tests.factories import HEALTHY, screen_args
from tests.sync.phone_model import fresh
from tests.world import Hand, World

BOOK = book_for()
CONFIRMED = ["diabetes", "kidney_failure"]


def row_of(hand: Hand, screen: str) -> dict[str, Any]:
    return {str(id_): row for id_, row in fresh(hand).of("health_screen").items()}[screen]


def told(hand: Hand) -> list[tuple[str, list[str]]]:
    return [(row["code"], row["reasons"]) for row in fresh(hand).of("incident").values()]


def test_a_screen_keeps_what_was_confirmed_and_from_where(world: World) -> None:
    earlier = world.technician.screen(world.client, HEALTHY)
    later = world.technician.later(days=40)
    screen = later.screen(
        world.client, HEALTHY, from_screen=earlier, confirmed=["diabetes", "kidney_failure"]
    )
    row = row_of(world.owner, screen)
    assert (str(row["from_screen"]), row["confirmed"]) == (earlier, CONFIRMED)
    assert row["answers"] == HEALTHY


def test_one_that_says_nothing_of_it_was_asked_all_of_it(world: World) -> None:
    row = row_of(world.owner, world.technician.screen(world.client))
    assert (row["from_screen"], row["confirmed"]) == (None, [])


def test_the_edition_that_was_asked_by_is_kept_beside_the_one_that_judged(world: World) -> None:
    technician, older = world.technician, "0" * 64
    args = screen_args(client=world.client, screened_at=technician.stamp())
    envelope = technician.envelope("record_screen", args).model_copy(update={"rulebook": older})
    (receipt,) = technician.deliver(envelope)
    assert receipt.status == "applied"
    row = row_of(world.owner, args["screen"])
    assert (row["asked_rulebook"], row["rulebook"]) == (older, BOOK.version)


def test_what_the_earlier_screen_does_not_say_is_kept_and_told(world: World) -> None:
    earlier = world.technician.screen(world.client, HEALTHY | {"diabetes": True})
    later = world.technician.later(days=40)
    answers = HEALTHY | {"diabetes": False}
    screen = later.screen(
        world.client, answers, from_screen=earlier, confirmed=["diabetes", "kidney_failure"]
    )
    assert row_of(world.owner, screen)["answers"] == answers
    question = BOOK.content.words["en"]["question.diabetes"]
    assert told(world.owner) == [("confirmed_otherwise", [question])]


def test_nothing_is_confirmed_from_another_clients_screen(world: World) -> None:
    technician = world.technician
    others = technician.screen(technician.register(name="Another Invented"), HEALTHY)
    technician.screen(world.client, HEALTHY, from_screen=others, confirmed=["diabetes"])
    assert [code for code, _ in told(world.owner)] == ["confirmed_otherwise"]


def test_a_screen_that_the_server_does_not_have_is_no_reason_to_doubt(world: World) -> None:
    """It may have been lost with a backup."""
    lost = screen_args()["screen"]
    world.technician.screen(world.client, HEALTHY, from_screen=lost, confirmed=["diabetes"])
    assert told(world.owner) == []
