"""Who prints which labels. Check: the project's permission table, and our own rules (decision
0179)."""

import io
from uuid import UUID

import pytest
from pypdf import PdfReader

from heelwright.kit.models import Thing
from heelwright.tenancy.models import Practice
from tests.documents.papers import asked_for, words_of
from tests.kit.conftest import Kit
from tests.kit.hands import set_card
from tests.world import World

pytestmark = pytest.mark.django_db


def practice_of(world: World) -> str:
    return str(Practice.objects.get(staff=UUID(world.owner.id)).pk)


def label_of(thing: str) -> str:
    return Thing.objects.get(pk=thing).label


@pytest.mark.parametrize("who", ["owner", "technician", "colleague"])
def test_all_in_service_are_printed(kit: Kit, who: str) -> None:
    gone = kit.technician.register(set_card("Worn out"))
    kit.technician.move(gone, "retire")
    kit.technician.send()
    answer = asked_for(kit.world.hands[who], practice_of(kit.world), "label_sheet")
    assert answer.status_code == 200
    words = words_of(answer.content)
    assert label_of(kit.set) in words and label_of(kit.machine) in words
    assert "Invented set" in words and "Invented steriliser" in words
    assert label_of(gone) not in words and "Worn out" not in words


def test_one_is_printed_alone_also_where_it_is_out_of_use(kit: Kit) -> None:
    kit.technician.move(kit.set, "retire")
    kit.technician.send()
    answer = asked_for(kit.world.technician, kit.set, "label_sheet")
    words = words_of(answer.content)
    assert label_of(kit.set) in words and label_of(kit.machine) not in words


@pytest.mark.parametrize(("place", "wide"), [("", 595), ("uk", 595), ("us", 612)])
def test_the_paper_is_that_of_the_place(kit: Kit, place: str, wide: int) -> None:
    """A4 and letter in points, from memory: 595.28 and 612."""
    Practice.objects.filter(pk=practice_of(kit.world)).update(place=place)
    answer = asked_for(kit.world.owner, practice_of(kit.world), "label_sheet")
    [page] = PdfReader(io.BytesIO(answer.content)).pages
    assert float(page.mediabox.width) == pytest.approx(wide, abs=1)


@pytest.mark.parametrize("who", ["coordinator", "stranger"])
def test_others_are_told_there_is_none(kit: Kit, who: str) -> None:
    for row in (practice_of(kit.world), kit.set):
        answer = asked_for(kit.world.hands[who], row, "label_sheet")
        assert answer.status_code == 404
        assert answer.json()["field"] == "row_id"  # type: ignore[attr-defined]


def test_without_anything_it_says_what_to_do(world: World) -> None:
    answer = asked_for(world.owner, practice_of(world), "label_sheet")
    assert answer.status_code == 400
    told = answer.json()  # type: ignore[attr-defined]
    assert (told["code"], told["field"]) == ("no_labels", "row_id")
    assert "first" in told["remedy"]
