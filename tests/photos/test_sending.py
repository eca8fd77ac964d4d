"""Pictures in parts, however they come. Check: our own rules (docs/sync.md, "Photos")."""

import hashlib
import os
import re
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from django.core.files.storage import storages

from heelwright import vault
from heelwright.photos import storing
from heelwright.photos.models import Photo, PhotoPart
from heelwright.photos.sweep import sweep
from tests.factories import PICTURE, ident
from tests.photos.phone import PART, PARTS, Camera, files
from tests.world import Hand, World, phone_of

pytestmark = pytest.mark.django_db


def row(hand: Hand, photo: str) -> dict[str, Any]:
    rows = [r.row for r in hand.pull().rows if r.kind == "photo" and str(r.id) == photo]
    assert len(rows) == 1 and rows[0] is not None
    return rows[0]


def test_a_picture_arrives_and_is_given_back_as_it_was(
    camera: Camera, photo: str, world: World
) -> None:
    assert camera.parts(photo).json() == {"photo": photo, "parts": [], "of": 3, "arrived": False}
    assert row(world.technician, photo)["arrived"] is False
    answer = camera.send(photo)
    assert answer.json() == {"photo": photo, "parts": [1, 2, 3], "of": 3, "arrived": True}
    assert row(world.owner, photo)["arrived"] is True
    given = camera.picture(photo)
    assert given.status_code == 200 and given.content == PICTURE
    assert given.headers["Content-Type"] == "image/jpeg"
    assert given.headers["Cache-Control"] == "no-store"


def test_a_cut_line_goes_on_where_it_was(camera: Camera, photo: str) -> None:
    camera.put(photo, 2, PARTS[1])
    assert camera.parts(photo).json()["parts"] == [2]
    assert camera.whole(photo).json()["code"] == "parts_missing"
    camera.put(photo, 3, PARTS[2])
    camera.put(photo, 1, PARTS[0])
    assert camera.whole(photo).json()["arrived"] is True
    assert camera.picture(photo).content == PICTURE


def test_all_of_it_twice_is_once(camera: Camera, photo: str) -> None:
    camera.put(photo, 1, PARTS[0])
    before = files()
    camera.put(photo, 1, PARTS[0])
    assert files() == before
    assert camera.send(photo).json() == camera.send(photo).json() == camera.parts(photo).json()
    assert len(files()) == 3


def test_the_same_part_twice_at_once_is_kept_once(camera: Camera, photo: str) -> None:
    """Another request stores the part after this one has looked and before it is done."""
    storage = storages["photos"]
    began: list[str] = []

    class Meanwhile:
        def save(self, name: str, content: Any) -> str:
            if not began:
                began.append(name)
                assert camera.put(photo, 1, PARTS[0]).status_code == 200
            saved: str = storage.save(name, content)
            return saved

        def __getattr__(self, name: str) -> Any:
            return getattr(storage, name)

    storages._storages["photos"] = Meanwhile()  # type: ignore[attr-defined]
    try:
        assert camera.put(photo, 1, PARTS[0]).status_code == 200
    finally:
        storages._storages["photos"] = storage  # type: ignore[attr-defined]
    assert len(files()) == 1 and PhotoPart.objects.count() == 1
    assert camera.send(photo).json()["arrived"] is True


def test_two_phones_of_the_person_send_one_picture(
    camera: Camera, photo: str, world: World
) -> None:
    other = Camera(phone_of(world.technician.staff, world.now))
    camera.put(photo, 1, PARTS[0])
    assert other.parts(photo).json()["parts"] == [1]
    other.put(photo, 2, PARTS[1])
    camera.put(photo, 3, PARTS[2])
    assert other.whole(photo).json()["arrived"] is True


@pytest.mark.parametrize("who", ["owner", "colleague", "coordinator", "stranger"])
def test_nobody_else_sends_it(camera: Camera, photo: str, world: World, who: str) -> None:
    other = Camera(world.hands[who])
    for answer in (other.put(photo, 1, PARTS[0]), other.parts(photo), other.whole(photo)):
        assert (answer.status_code, answer.json()["code"]) == (404, "not_found")
    assert files() == []


@pytest.mark.parametrize(
    ("number", "part", "headers", "status", "code"),
    [
        (0, PARTS[0], {}, 400, "no_such_part"),
        (4, PARTS[0], {}, 400, "no_such_part"),
        (10**30, PARTS[0], {}, 400, "no_such_part"),
        (-1, PARTS[0], {}, 400, "no_such_part"),
        (1, PARTS[0][:-1], {}, 400, "part_length"),
        (3, PARTS[0], {}, 400, "part_length"),
        (1, b"", {}, 400, "part_length"),
        (1, PARTS[0] + b"x", {}, 413, "too_large"),
        (1, PARTS[0], {"Content-Digest": ""}, 400, "part_damaged"),
        (1, PARTS[0], {"Content-Digest": "sha-256=:AAAA:"}, 400, "part_damaged"),
        (1, PARTS[0], {"Content-Digest": "\x00\u00e9"}, 400, "part_damaged"),
    ],
)
def test_what_is_no_part_of_it_is_refused_and_not_kept(
    camera: Camera,
    photo: str,
    number: int,
    part: bytes,
    headers: dict[str, str],
    status: int,
    code: str,
) -> None:
    answer = camera.put(photo, number, part, **headers)
    assert (answer.status_code, answer.json()["code"]) == (status, code)
    assert answer.json()["remedy"]
    assert files() == [] and not PhotoPart.objects.exists()


def test_an_unknown_photo_and_no_photo_at_all(camera: Camera) -> None:
    assert camera.put(ident(), 1, PARTS[0]).status_code == 404
    assert camera.put("not-an-id", 1, PARTS[0]).status_code == 422
    assert camera.picture(ident()).status_code == 404


def test_another_picture_is_refused_dropped_and_the_right_one_taken(
    camera: Camera, photo: str
) -> None:
    for number, part in enumerate(PARTS, 1):
        camera.put(photo, number, part[::-1])
    answer = camera.whole(photo)
    assert (answer.status_code, answer.json()["code"]) == (422, "photo_differs")
    assert files() == [] and camera.parts(photo).json()["parts"] == []
    assert camera.send(photo).json()["arrived"] is True


def test_a_kill_while_a_part_is_written_costs_that_part(
    camera: Camera, photo: str, monkeypatch: pytest.MonkeyPatch, world: World
) -> None:
    camera.put(photo, 1, PARTS[0])

    class Killed(BaseException):
        pass

    def killed(*_: Any) -> None:
        raise Killed

    with monkeypatch.context() as at_once, pytest.raises(Killed):
        at_once.setattr("heelwright.photos.storing.ContentFile", killed)
        storing.keep_part(Photo.objects.get(pk=photo), 2, PARTS[1], world.now)
    assert camera.parts(photo).json()["parts"] == [1]
    assert camera.send(photo).json()["arrived"] is True
    assert PhotoPart.objects.count() == 4
    assert sweep(world.now + timedelta(hours=23)) == 0
    assert sweep(world.now + timedelta(days=2)) == 1
    assert camera.picture(photo).content == PICTURE


def test_what_never_came_whole_is_swept_and_can_still_come(
    camera: Camera, photo: str, world: World
) -> None:
    camera.put(photo, 1, PARTS[0])
    assert sweep(world.now + timedelta(days=89)) == 0
    assert sweep(world.now + timedelta(days=92)) == 1
    assert files() == []
    assert camera.send(photo).json()["arrived"] is True


def test_a_storage_that_is_away_is_said_and_nothing_half_is_left(
    camera: Camera, photo: str, storage: Path, world: World
) -> None:
    camera.put(photo, 1, PARTS[0])
    for path in storage.iterdir():
        path.chmod(0o700)
    hidden = storage.with_name("elsewhere")
    storage.rename(hidden)
    storage.write_text("in the way")
    for answer in (camera.put(photo, 2, PARTS[1]),):
        assert (answer.status_code, answer.json()["code"]) == (503, "storage_away")
    storage.unlink()
    hidden.rename(storage)
    assert camera.send(photo).json()["arrived"] is True
    # A part that went missing is said as well, and never as half a picture.
    next(path for path in files()).unlink()
    assert camera.picture(photo).json()["code"] == "storage_away"


def test_the_storage_holds_no_picture_and_names_nobody(
    camera: Camera, photo: str, world: World, storage: Path
) -> None:
    camera.send(photo)
    stored = files()
    assert len(stored) == len(PARTS)
    for path in stored:
        content = path.read_bytes()
        assert b"heel" not in content and b"invented" not in content
        assert re.fullmatch(r"[0-9a-f]{2}/[0-9a-f]{32}", str(path.relative_to(storage)))
        assert path.stat().st_mode & 0o077 == 0
        for known in (photo, world.client, world.technician.id, str(world.practice.pk)):
            assert known.replace("-", "")[:12] not in path.name


def test_no_part_opens_as_another(camera: Camera, photo: str) -> None:
    camera.send(photo)
    first, second = (
        p.place for p in PhotoPart.objects.filter(number__in=[1, 2]).order_by("number")
    )
    root = Path(storages["photos"].location)  # type: ignore[attr-defined]
    swapped = (root / first).read_bytes(), (root / second).read_bytes()
    (root / second).write_bytes(swapped[0])
    (root / first).write_bytes(swapped[1])
    assert camera.picture(photo).json()["code"] == "storage_away"


def test_nothing_opens_once_the_client_is_shredded(
    camera: Camera, photo: str, world: World
) -> None:
    camera.send(photo)
    vault.shred(Photo.objects.get(pk=photo).client_id)
    assert camera.picture(photo).status_code >= 400


def test_two_cards_that_become_one_keep_the_picture(
    camera: Camera, photo: str, world: World
) -> None:
    camera.put(photo, 1, PARTS[0])
    world.owner.do("merge_clients", {"stays": world.resident, "goes": world.client})
    assert camera.send(photo).json()["arrived"] is True
    assert Camera(world.owner).picture(photo).content == PICTURE


def test_a_phone_that_was_shut_out_hands_in_what_the_practice_wants(
    camera: Camera, photo: str, world: World
) -> None:
    device = str(world.technician.device.pk)
    world.owner.do("revoke_device", {"device": device, "save_unsent": True})
    assert camera.send(photo).json()["arrived"] is True
    assert camera.picture(photo).json()["code"] == "device_revoked"
    world.owner.do("revoke_device", {"device": device, "save_unsent": False})
    assert camera.parts(photo).json()["code"] == "device_revoked"


@pytest.mark.parametrize("size", [1, PART, PART + 1])
def test_pictures_of_every_length(camera: Camera, world: World, size: int) -> None:
    content = os.urandom(size)
    told = {"sha256": hashlib.sha256(content).hexdigest(), "bytes": size}
    photo = camera.take(world.client, **told)
    for number, at in enumerate(range(0, size, PART), 1):
        assert camera.put(photo, number, content[at : at + PART]).status_code == 200
    assert camera.whole(photo).json()["arrived"] is True
    assert camera.picture(photo).content == content
