"""Where a calendar app asks. It can send nothing but an address, so the secret stands in that, and
nowhere else: `settings/logs.py` keeps it out of the log."""

import hashlib
import re
from datetime import datetime
from zoneinfo import ZoneInfo

from django.http import HttpRequest, HttpResponse
from django.http.response import HttpResponseBase
from django.utils.cache import get_conditional_response
from ninja import Router

from heelwright import clock
from heelwright.commandlog.console import by_console
from heelwright.commandlog.history import writing
from heelwright.declarations import Refused
from heelwright.schedule.calendar_reading import entries_of
from heelwright.schedule.models import CalendarLink
from heelwright.schedule.rules.calendar import written
from heelwright.tenancy.signin import PerAddress

router = Router(throttle=PerAddress("calendar"))

# 32 random bytes in base64url without padding.
SECRET = re.compile(r"[A-Za-z0-9_-]{43}", re.ASCII)


@router.api_operation(["GET", "HEAD"], "/{secret}.ics", include_in_schema=False)
def get_calendar(request: HttpRequest, secret: str) -> HttpResponseBase:
    now = clock.now()
    link = _link(secret)
    if not _works(link):
        _end(link, now)
        raise _nothing()
    _note(link, now)
    body = written(link.pk, entries_of(link.staff, now))
    response = HttpResponse(body, content_type="text/calendar; charset=utf-8")
    response.headers["X-Robots-Tag"] = "noindex"
    etag = f'"{hashlib.sha256(body).hexdigest()}"'
    response.headers["ETag"] = etag
    return get_conditional_response(request, etag=etag, response=response) or response


def _link(secret: str) -> CalendarLink:
    """Raises Refused alike for one that was never made and for one that has ended."""
    if SECRET.fullmatch(secret):
        hashed = hashlib.sha256(secret.encode()).hexdigest()
        links = CalendarLink.objects.select_related("staff__practice", "made_from")
        found = links.filter(secret_sha256=hashed).first()
        if found is not None:
            return found
    raise _nothing()


def _nothing() -> Refused:
    return Refused(
        "not_found",
        "There is no calendar here.",
        "Make a new link in the app, and remove this one from the calendar.",
    )


def _works(link: CalendarLink) -> bool:
    """It ends with the phone that made it, and with its person's work here: whoever has that phone
    in hand has the link as well."""
    return link.staff.is_active and link.made_from.revoked_at is None


def _end(link: CalendarLink, now: datetime) -> None:
    with writing(now, pk=link.practice_id) as practice:
        for still_there in CalendarLink.objects.filter(pk=link.pk):
            by_console(practice, now).remove(still_there)


def _note(link: CalendarLink, now: datetime) -> None:
    """Once a day, so that its person sees whether anything asks by it."""
    today = now.astimezone(ZoneInfo(link.staff.practice.zone)).date()
    if link.fetched_on == today:
        return
    with writing(now, pk=link.practice_id) as practice:
        for still_there in CalendarLink.objects.filter(pk=link.pk):
            still_there.fetched_on = today
            by_console(practice, now).put(still_there)
