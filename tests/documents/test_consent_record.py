"""The printed record of a sitting. Check: our own rule; the file's shape by ISO 19005-2 and ISO
14289-1 (published; the file's own claim, set by typst's checks)."""

from typing import Any

import pytest

from heelwright.rulebook import book_for
from tests.documents.papers import asked_for, words_of
from tests.factories import decision, sheet_args
from tests.intake.signing import ClientPhone, Link, no_tries_before
from tests.world import World

__all__ = ["no_tries_before"]

WORDS = book_for(None).content.words


def printed(world: World, **more: Any) -> tuple[dict[str, Any], str]:
    args = sheet_args(client=world.client, decided_at=world.technician.stamp(), **more)
    world.technician.do("record_consent_sheet", args)
    answer = asked_for(world.technician, args["sheet"], "consent_record")
    assert answer.status_code == 200
    assert b"pdfaid" in answer.content
    return args, words_of(answer.content)


def test_it_says_who_decided_what_and_how_to_verify_it(world: World) -> None:
    args, text = printed(world, said="Only today")
    for part in (
        "Client Invented, the client",
        "Care of your feet: Yes",
        "Photos of your feet: No",
        "understands: yes, keeps: yes, weighs: yes, says: yes",
        "Only today",
        "What we will not do.",
        args["sheet"],
        "This is the digest of the texts, answers and signer as printed here.",
        f"heelwright evidence verify --client {world.client}",
    ):
        assert part in text, part
    assert args["shown_sha256"] in text.replace(" ", "")


def test_a_spanish_sheet_is_printed_as_it_was_shown(world: World) -> None:
    _, text = printed(world, language="es", decisions=[decision("foot_care", language="es")])
    assert "El cuidado de sus pies: Yes" in text
    assert "Qué no haremos." in text


def test_a_refusal_is_printed_without_a_signature(world: World) -> None:
    no = {"decisions": [decision("foot_care", agreed=False)], "how": "unsigned", "strokes": []}
    _, text = printed(world, **no)
    assert "Not signed" in text
    assert "Signature" not in text


@pytest.mark.parametrize("ended", [False, True])
def test_one_by_a_link_says_so_and_whether_it_counts(world: World, ended: bool) -> None:
    link = Link(world.technician, client=world.client).offered()
    phone = ClientPhone(link)
    phone.open()
    if ended:
        link.ended()
    assert phone.done().status_code == 200
    text = words_of(asked_for(world.technician, link.args["sheet"], "consent_record").content)
    assert "With a finger on a phone of the client's side, by a link" in text
    assert "This is the digest of the texts, answers and signer as printed here." in text
    assert ("Does not count: the link to sign had ended when this came." in text) is ended


def test_what_does_not_match_says_so(world: World) -> None:
    _, text = printed(world, shown_sha256="0" * 64)
    assert "look at the record before you use it" in text


@pytest.mark.parametrize("reader", ["coordinator", "colleague", "stranger"])
def test_nobody_else_gets_it(world: World, reader: str) -> None:
    args, _ = printed(world)
    assert asked_for(getattr(world, reader), args["sheet"], "consent_record").status_code == 404
