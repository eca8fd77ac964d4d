"""Photos on the feed: what is known of each, never the picture."""

from collections.abc import Iterable
from datetime import datetime
from uuid import UUID

from pydantic import BaseModel

from heelwright.commandlog.registry import feed_kind, follows_client
from heelwright.declarations import FeedKind
from heelwright.photos.models import Photo


class PhotoRow(BaseModel):
    """`arrived` says that the whole picture is on the server; one taken `without_consent` is shown
    to owners alone. Width and height in pixels."""

    client: UUID
    staff: UUID
    purpose: str
    about: UUID | None
    taken_at: datetime
    sha256: str
    bytes: int
    width: int
    height: int
    foot: str
    view: str
    arrived: bool
    without_consent: bool
    removed_at: datetime | None
    removed_reason: str


def photos(ids: Iterable[UUID]) -> Iterable[tuple[UUID, BaseModel]]:
    for p in Photo.objects.filter(pk__in=ids):
        row = PhotoRow(
            client=p.client_id,
            staff=p.staff_id,
            purpose=p.purpose,
            about=p.about,
            taken_at=p.taken_at,
            sha256=p.sha256.hex(),
            bytes=p.size,
            width=p.width,
            height=p.height,
            foot=p.foot,
            view=p.view,
            without_consent=p.without_consent,
            arrived=p.arrived_at is not None,
            removed_at=p.removed_at,
            removed_reason=p.removed_reason,
        )
        yield p.pk, row


feed_kind(FeedKind("photo", Photo, PhotoRow, lambda row: row.client_id, photos))
follows_client(Photo)
