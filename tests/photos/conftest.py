"""The world of `tests.world` for this folder, and a storage of its own."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from django.core.files.storage import storages

from heelwright.photos.files import SyncedFiles
from tests.photos.phone import Camera, agree
from tests.world import World, built_world, world

__all__ = ["built_world", "world"]


@pytest.fixture
def storage(tmp_path: Path) -> Iterator[Path]:
    """The folder of this test's photos."""
    before = storages["photos"]
    storages._storages["photos"] = SyncedFiles(  # type: ignore[attr-defined]
        location=tmp_path / "photos",
        file_permissions_mode=0o600,
        directory_permissions_mode=0o700,
    )
    yield tmp_path / "photos"
    storages._storages["photos"] = before  # type: ignore[attr-defined]


@pytest.fixture
def camera(world: World, storage: Path) -> Camera:
    """A technician's, whose client has agreed to photos."""
    agree(world.technician, world.client)
    return Camera(world.technician)


@pytest.fixture
def photo(camera: Camera, world: World) -> str:
    return camera.take(world.client)
