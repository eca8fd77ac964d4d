"""A photo's record, which comes before its picture, and its removal by the owner."""

import secrets

from django.db import transaction

from heelwright.commandlog.act import Act, fresh_id
from heelwright.commandlog.registry import command
from heelwright.declarations import Power, Refused
from heelwright.intake.records import by
from heelwright.people.access import client_for
from heelwright.photos.arguments import RecordPhoto, RemovePhoto
from heelwright.photos.late import flag_without_consent
from heelwright.photos.models import Photo
from heelwright.photos.rules import OF_THE_BODY
from heelwright.photos.storing import drop_parts

KEY_BYTES = 32


@command(Power.REPORT, RecordPhoto)
def record_photo(act: Act, args: RecordPhoto) -> None:
    """Kept whatever it says: the photo has been taken."""
    client = client_for(act, args.client)
    fresh_id(Photo, args.photo, "photo")
    act.not_ahead(args.taken_at, "taken_at")
    photo = Photo(
        id=args.photo,
        purpose=args.purpose,
        about=args.about,
        foot=args.foot or "",
        view=args.view or "",
        taken_at=args.taken_at,
        sha256=bytes.fromhex(args.sha256),
        size=args.bytes,
        width=args.width,
        height=args.height,
        key=secrets.token_bytes(KEY_BYTES),
        **by(act, client),
    )
    act.put(photo)
    # Of a body only what was agreed to. A paper needs no consent to photos.
    if args.purpose in OF_THE_BODY:
        flag_without_consent(act, client, photo)


@command(Power.PERMISSION, RemovePhoto)
def remove_photo(act: Act, args: RemovePhoto) -> None:
    """Destroys the picture. That there was one stays on record, with who removed it and why."""
    photo = Photo.objects.filter(practice=act.practice, pk=args.photo).first()
    if photo is None:
        raise Refused("not_found", "This photo was not found.", "Sync, look again.", "photo")
    client_for(act, photo.client_id, field="photo")
    if photo.removed_at is not None:
        raise Refused("removed_already", "This photo is removed already.", "Nothing needs doing.")
    photo.removed_at = act.by_now(act.made_at)
    photo.removed_by = act.staff
    photo.removed_reason = args.reason
    # Without it no copy of the parts opens, in a backup either.
    photo.key = b""
    act.put(photo)
    transaction.on_commit(lambda: drop_parts(photo.stored.all()))
