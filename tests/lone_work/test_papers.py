"""Licence, insurance, first aid: who sees and changes them. Common practice, no source."""

from typing import Any

import pytest

from heelwright.commandlog.models import FeedRow
from tests.factories import paper_args
from tests.sync.phone_model import fresh
from tests.world import Hand, World

pytestmark = pytest.mark.django_db


def papers(hand: Hand) -> list[dict[str, Any]]:
    return list(fresh(hand).of("paper").values())


def version_of(hand: Hand, paper: str) -> int:
    return FeedRow.objects.get(kind="paper", row_id=paper, practice=hand.staff.practice).seq


def test_whose_it_is_and_the_owner_see_it(world: World) -> None:
    hand = world.technician
    hand.do("record_paper", paper_args(staff=hand.id))
    assert [row["expires_on"] for row in papers(hand)] == ["2028-05-31"]
    assert papers(world.owner) == papers(hand)
    for other in (world.colleague, world.coordinator, world.stranger):
        assert not papers(other)


def test_a_renewal_changes_it_and_no_older_copy_does(world: World) -> None:
    hand = world.technician
    args = paper_args(staff=hand.id)
    hand.do("record_paper", args)
    seen = version_of(hand, str(args["paper"]))
    renewed = args | {"expires_on": "2031-05-31"}
    world.owner.do("record_paper", renewed | {"seen": seen})
    assert hand.no("record_paper", args | {"seen": seen}) == "changed_elsewhere"
    assert [row["expires_on"] for row in papers(hand)] == ["2031-05-31"]


def test_a_paper_stays_whose_it_is(world: World) -> None:
    hand, args = world.technician, paper_args(staff=world.technician.id)
    hand.do("record_paper", args)
    moved = args | {"staff": world.colleague.id, "seen": 10**9}
    assert world.owner.no("record_paper", moved) == "not_found"


def test_one_that_is_gone_is_gone_for_both(world: World) -> None:
    hand, args = world.technician, paper_args(staff=world.technician.id)
    hand.do("record_paper", args)
    assert world.colleague.no("remove_paper", {"paper": args["paper"]}) == "not_found"
    hand.do("remove_paper", {"paper": args["paper"]})
    assert not papers(hand)
    assert not papers(world.owner)
