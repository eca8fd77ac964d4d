"""The chain in the database: gapless numbers, counter-signed, and every tampering reported."""

from datetime import UTC, datetime
from io import StringIO
from pathlib import Path
from uuid import UUID

import pytest
from django.core.management import CommandError, call_command
from django.db import IntegrityError, transaction
from pytest_django import Settings

from heelwright import evidence
from heelwright.evidence.models import ChainHead, Link
from heelwright.ids import new_id
from heelwright.vault import keyfile

pytestmark = pytest.mark.django_db

AT = datetime(2026, 11, 25, 8, 30, 0, 654321, tzinfo=UTC)


@pytest.fixture
def practice() -> UUID:
    return new_id()


def grown(practice: UUID, count: int) -> list[Link]:
    return [
        evidence.append(practice, "health_screen", new_id(), bytes([n]) * 32, AT)
        for n in range(count)
    ]


def test_links_are_numbered_without_gaps_for_each_practice(practice: UUID) -> None:
    other = new_id()
    links = grown(practice, 3)
    grown(other, 2)
    assert [link.number for link in links] == [1, 2, 3]
    assert [bytes(link.previous) for link in links[1:]] == [
        bytes(link.link_hash) for link in links[:-1]
    ]
    for which, count in ((practice, 3), (other, 2), (new_id(), 0)):
        result = evidence.verify(which)
        assert (result.links, result.stands) == (count, True)


def test_a_rolled_back_link_leaves_no_gap(practice: UUID) -> None:
    grown(practice, 1)
    with pytest.raises(ZeroDivisionError), transaction.atomic():
        grown(practice, 1)
        _ = 1 / 0
    assert [link.number for link in grown(practice, 1)] == [2]
    assert evidence.verify(practice).stands


def test_the_database_refuses_a_number_twice(practice: UUID) -> None:
    (link,) = grown(practice, 1)
    link.pk = None
    with pytest.raises(IntegrityError), transaction.atomic():
        link.save(force_insert=True)


@pytest.mark.parametrize(
    "change",
    [
        {"digest": b"\xff" * 32},
        {"what": "consent"},
        {"row_id": UUID(int=0)},
        {"made_at": datetime(2026, 11, 24, tzinfo=UTC)},
        {"signature": bytes(64)},
        {"link_hash": bytes(32)},
        {"previous": bytes(32)},
        {"number": 9},
        {"key_id": "evidence-none"},
    ],
)
def test_a_changed_row_is_found(practice: UUID, change: dict[str, object]) -> None:
    grown(practice, 3)
    Link.objects.filter(chain=practice, number=2).update(**change)
    assert not evidence.verify(practice).stands


@pytest.mark.parametrize("number", [1, 2, 3])
def test_a_deleted_row_is_found_the_last_one_too(practice: UUID, number: int) -> None:
    grown(practice, 3)
    Link.objects.filter(chain=practice, number=number).delete()
    assert not evidence.verify(practice).stands


def test_a_deleted_chain_is_found(practice: UUID) -> None:
    grown(practice, 2)
    Link.objects.all().delete()
    with pytest.raises(CommandError, match="1 of 1 chains"):
        call_command("evidence", "verify", stdout=StringIO())


def test_a_lost_head_is_found(practice: UUID) -> None:
    grown(practice, 2)
    ChainHead.objects.all().delete()
    assert not evidence.verify(practice).stands


def test_the_command_says_how_far_each_chain_goes(practice: UUID) -> None:
    links = grown(practice, 2)
    call_command("evidence", "verify", stdout=(said := StringIO()))
    head = bytes(links[-1].link_hash).hex()
    assert f"{practice}: 2 links, head 2 {head}" in said.getvalue()
    Link.objects.filter(chain=practice, number=1).update(what="consent")
    with pytest.raises(CommandError, match="do not stand"):
        call_command("evidence", "verify", stdout=(said := StringIO()))
    assert "link 1: content_differs: was changed" in said.getvalue()


def test_links_of_a_former_evidence_key_still_verify(
    practice: UUID, settings: Settings, tmp_path: Path
) -> None:
    grown(practice, 1)
    former = keyfile.load(Path(settings.HEELWRIGHT_KEY_FILE))
    fresh = keyfile.generate()
    both = keyfile.Keys(
        former.current,
        former.keks,
        fresh.evidence_current,
        {**former.evidence_seeds, **fresh.evidence_seeds},
    )
    path = tmp_path / "both.json"
    keyfile.make(path)
    path.write_text(keyfile.dump(both))
    settings.HEELWRIGHT_KEY_FILE = str(path)
    (link,) = grown(practice, 1)
    assert link.key_id == fresh.evidence_current
    assert evidence.verify(practice).stands
