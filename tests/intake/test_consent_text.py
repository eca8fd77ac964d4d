"""What a signature stands under: a text of the book, and a right to sign. Check: our own rule."""

from typing import Any

from heelwright.commandlog.models import Incident
from tests.factories import consent_args
from tests.world import World


def signed(world: World, **told: str) -> dict[str, Any]:
    return consent_args(client=world.client, signed_at=world.technician.stamp(), **told)


def test_a_text_that_is_not_in_the_book_is_kept_and_told_to_the_owner(world: World) -> None:
    for told in ({"text_hash": "0" * 64}, {"text_id": "another_text"}):
        receipt = world.technician.do("sign_consent", signed(world, **told))
        assert [Incident.objects.get(pk=i).code for i in receipt.incidents] == [
            "consent_text_unknown"
        ]


def test_a_text_of_the_book_raises_nothing(world: World) -> None:
    receipt = world.technician.do("sign_consent", signed(world))
    assert receipt.incidents == []


def test_somebody_else_signs_only_by_a_right_that_is_written_down(world: World) -> None:
    hand, other = world.technician, "representative"
    without = signed(world, signer_role=other, authority="  ")
    assert hand.no("sign_consent", without) == "no_authority"
    hand.do("sign_consent", signed(world, signer_role=other, authority="Attorney, paper seen"))
