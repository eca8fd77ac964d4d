"""Takes away what was begun and never came to an end, so that nothing lies half-way for ever."""

from datetime import datetime, timedelta

from django.db.models import Q

from heelwright.photos.models import PhotoPart
from heelwright.photos.storing import drop_parts

# A part that is being written takes seconds.
WRITING = timedelta(days=1)
# A phone that comes back later than this sends all parts once more.
COMING = timedelta(days=90)


def sweep(now: datetime) -> int:
    """Returns how many parts are gone: those whose writing broke off, those of pictures that never
    came whole, and what the storage did not let go of when a photo was removed."""
    broken_off = Q(stored_at=None, begun_at__lt=now - WRITING)
    never_whole = Q(photo__arrived_at=None, begun_at__lt=now - COMING)
    removed = Q(photo__removed_at__isnull=False)
    return drop_parts(PhotoPart.objects.filter(broken_off | never_whole | removed))
