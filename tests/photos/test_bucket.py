"""Photos in a bucket, over HTTP to a server of its own on this machine. The server is moto's, which
speaks the published S3 interface; no bucket of a provider is asked here."""

import os
from collections.abc import Iterator
from typing import Any

import boto3
import pytest
from django.core.files.storage import storages
from django.utils.module_loading import import_string
from moto.server import ThreadedMotoServer

from heelwright.settings.bucket import bucket
from tests.factories import PICTURE
from tests.photos.phone import PARTS, Camera, agree
from tests.world import World

pytestmark = pytest.mark.django_db
NAME = "invented-photos"


@pytest.fixture
def s3(monkeypatch: pytest.MonkeyPatch) -> Iterator[Any]:
    server = ThreadedMotoServer(ip_address="127.0.0.1", port=0, verbose=False)
    server.start()
    _, port = server.get_host_and_port()
    for name in [name for name in os.environ if name.startswith("AWS_")]:
        monkeypatch.delenv(name)
    monkeypatch.setenv("AWS_ACCESS_KEY_ID", "invented")
    monkeypatch.setenv("AWS_SECRET_ACCESS_KEY", "invented")
    monkeypatch.setenv("AWS_EC2_METADATA_DISABLED", "true")
    monkeypatch.setenv("HEELWRIGHT_PHOTO_ENDPOINT", f"http://127.0.0.1:{port}")
    monkeypatch.setenv("HEELWRIGHT_PHOTO_REGION", "us-east-1")
    settings = bucket(NAME)
    before = storages["photos"]
    made = import_string(settings["BACKEND"])(**settings["OPTIONS"])
    storages._storages["photos"] = made  # type: ignore[attr-defined]
    client = boto3.client("s3", endpoint_url=f"http://127.0.0.1:{port}", region_name="us-east-1")
    client.create_bucket(Bucket=NAME)
    yield client
    storages._storages["photos"] = before  # type: ignore[attr-defined]
    server.stop()


def objects(s3: Any) -> dict[str, bytes]:
    listed = s3.list_objects_v2(Bucket=NAME).get("Contents", [])
    return {
        each["Key"]: s3.get_object(Bucket=NAME, Key=each["Key"])["Body"].read() for each in listed
    }


def test_a_picture_goes_to_the_bucket_sealed_and_comes_back(
    world: World, s3: Any, django_capture_on_commit_callbacks: Any
) -> None:
    agree(world.technician, world.client)
    camera = Camera(world.technician)
    photo = camera.sent(world.client)
    assert camera.picture(photo).content == PICTURE
    stored = objects(s3)
    assert len(stored) == len(PARTS)
    assert not any(b"heel" in content for content in stored.values())
    with django_capture_on_commit_callbacks(execute=True):
        world.owner.do("remove_photo", {"photo": photo, "reason": "Of another person"})
    assert objects(s3) == {}


def test_a_bucket_that_is_not_there_is_said(world: World, s3: Any) -> None:
    camera = Camera(world.technician)
    photo = camera.take(world.client)
    s3.delete_bucket(Bucket=NAME)
    answer = camera.put(photo, 1, PARTS[0])
    assert (answer.status_code, answer.json()["code"]) == (503, "storage_away")
    s3.create_bucket(Bucket=NAME)
    assert camera.send(photo).json()["arrived"] is True
