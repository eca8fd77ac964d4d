"""Photos of a body, and whether the client has agreed. Check: our own rules (decision 0162)."""

from pathlib import Path
from typing import Any

import pytest

from heelwright.commandlog.models import Incident
from heelwright.photos.models import Photo
from tests.factories import PICTURE, photo_args
from tests.photos.phone import Camera, agree, files
from tests.world import World

pytestmark = pytest.mark.django_db
CODE = "photo_without_consent"


def flagged(photo: str) -> bool:
    raised = Incident.objects.filter(code=CODE, about_id=photo).exists()
    assert raised is Photo.objects.get(pk=photo).without_consent
    return raised


@pytest.mark.parametrize(
    ("purpose", "needs"),
    [
        ("before", True),
        ("after", True),
        ("finding", True),
        ("mishap", True),
        ("paper_consent", False),
        ("clearance_evidence", False),
    ],
)
def test_of_a_body_only_with_consent(
    world: World, storage: Path, purpose: str, needs: bool
) -> None:
    photo = Camera(world.technician).sent(world.client, purpose=purpose)
    assert flagged(photo) is needs
    assert Camera(world.technician).picture(photo).status_code == (404 if needs else 200)
    assert Camera(world.owner).picture(photo).content == PICTURE
    agree(world.technician, world.client)
    assert not flagged(Camera(world.technician).sent(world.client, purpose=purpose))


def test_a_no_and_a_yes_that_was_taken_back_are_no_consent(world: World, storage: Path) -> None:
    technician, camera = world.technician, Camera(world.technician)
    agree(technician, world.client, agreed=False)
    assert flagged(camera.take(world.client))
    consent = agree(technician.later(minutes=1), world.client)
    kept = camera.take(world.client)
    technician.later(minutes=1)
    taken_back = {"consent": consent, "reason": "", "withdrawn_at": technician.stamp()}
    technician.do("withdraw_consent", taken_back)
    assert not flagged(kept)
    assert flagged(camera.take(world.client, taken_at=technician.stamp(minutes=1)))


def test_a_withdrawal_that_comes_late_is_looked_at_again(world: World, storage: Path) -> None:
    technician, camera = world.technician, Camera(world.technician)
    consent = agree(technician, world.client)
    taken_back_at = technician.later(minutes=1).stamp()
    photo = camera.sent(world.client, taken_at=technician.later(minutes=1).stamp())
    paper = camera.sent(world.client, purpose="paper_consent", taken_at=technician.stamp())
    assert not flagged(photo) and camera.picture(photo).status_code == 200
    taken_back = {"consent": consent, "reason": "", "withdrawn_at": taken_back_at}
    technician.do("withdraw_consent", taken_back)
    assert flagged(photo) and camera.picture(photo).status_code == 404
    assert not flagged(paper)


@pytest.mark.parametrize("who", ["colleague", "coordinator", "stranger", "revoked"])
def test_others_are_told_there_is_none(camera: Camera, world: World, who: str) -> None:
    photo = camera.sent(world.client)
    answer = Camera(world.hands[who]).picture(photo)
    assert answer.status_code == (403 if who == "revoked" else 404)


def test_a_coordinator_sees_no_photo_of_a_resident_of_hers(world: World, storage: Path) -> None:
    agree(world.technician, world.resident)
    photo = Camera(world.technician).sent(world.resident)
    assert Camera(world.coordinator).picture(photo).status_code == 404
    assert "photo" not in {r.kind for r in world.coordinator.pull().rows}


def test_a_colleague_sees_it_while_the_client_is_theirs(camera: Camera, world: World) -> None:
    photo = camera.sent(world.client)
    scope = {"client": world.client, "staff": world.colleague.id}
    world.owner.do("assign_client", scope)
    assert Camera(world.colleague).picture(photo).content == PICTURE
    world.owner.do("unassign_client", scope)
    assert Camera(world.colleague).picture(photo).status_code == 404


def test_an_owner_removes_one_and_the_picture_is_gone(
    camera: Camera, world: World, django_capture_on_commit_callbacks: Any
) -> None:
    photo = camera.sent(world.client)
    remove = {"photo": photo, "reason": "Taken of the wrong foot"}
    assert world.technician.no("remove_photo", remove) == "not_allowed"
    with django_capture_on_commit_callbacks(execute=True):
        world.owner.do("remove_photo", remove)
    assert files() == []
    row: dict[str, Any] = next(
        r.row for r in world.technician.pull().rows if r.kind == "photo" and r.row
    )
    assert row["removed_reason"] == "Taken of the wrong foot" and row["removed_at"]
    assert camera.picture(photo).json()["code"] == "no_picture"
    assert camera.parts(photo).json()["code"] == "photo_removed"
    assert world.owner.no("remove_photo", remove) == "removed_already"


@pytest.mark.parametrize(
    "wrong",
    [
        {"purpose": "holiday"},
        {"bytes": 0},
        {"bytes": 4 * 1024 * 1024 + 1},
        {"width": 0},
        {"height": 10_000},
        {"sha256": "abc"},
        {"sha256": "A" * 64},
        {"foot": "third"},
        {"view": "x" * 61},
        {"about": "the visit"},
        {"more": "than is known"},
    ],
)
def test_a_record_that_cannot_be_understood_is_refused_by_name(
    world: World, wrong: dict[str, Any]
) -> None:
    args = photo_args(client=world.client, taken_at=world.technician.stamp(), **wrong)
    receipt = world.technician.send("record_photo", args)
    assert receipt.refusal is not None and receipt.refusal.field == next(iter(wrong))
