"""Looks at photos again when a withdrawal comes late: what was taken after it had no consent."""

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime

from heelwright.commandlog.act import Act
from heelwright.intake.consents import stands
from heelwright.intake.late import watches_records
from heelwright.people.models import Client
from heelwright.photos.models import Photo
from heelwright.photos.rules import OF_THE_BODY


@watches_records
@contextmanager
def look_again(act: Act, client: Client, since: datetime) -> Iterator[None]:
    yield
    held = Photo.objects.filter(client=client, taken_at__gte=since, removed_at=None)
    for photo in held.filter(without_consent=False):
        if photo.purpose in OF_THE_BODY:
            flag_without_consent(act, client, photo)


def flag_without_consent(act: Act, client: Client, photo: Photo) -> None:
    """Tell the owner, and show the picture to nobody else, where none stood when it was taken."""
    photo.without_consent = not stands(client, photo.counted(photo.taken_at), "photos")
    if photo.without_consent:
        act.put(photo)
        act.raise_incident("photo_without_consent", photo, [photo.purpose], client.pk)
