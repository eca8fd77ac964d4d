"""How much a body may hold: little where nobody has proved yet who they are."""

from collections.abc import Callable

from django.conf import settings
from django.http import HttpRequest, HttpResponse

from heelwright.settings.web import error

# An e-mail and a password, or a device's name, or the secret of a link.
MOST_TO_SIGN_IN = 16 * 1024
# A minute of drawing is some 4000 points of 60 bytes each, by the phone's own pad.
MOST_TO_ANSWER = 1024 * 1024
ANSWERS = "/api/sign/done"
SIGNING_IN = ("/api/devices", "/api/sign/open", ANSWERS)


def signs_in(request: HttpRequest) -> bool:
    """Whether nobody has proved yet who they are."""
    return request.path.startswith("/_allauth/") or request.path in SIGNING_IN


def most_bytes(request: HttpRequest) -> int:
    """How large the body may be, plain or unpacked."""
    largest = settings.DATA_UPLOAD_MAX_MEMORY_SIZE or 0
    if not signs_in(request):
        return largest
    return min(largest, MOST_TO_ANSWER if request.path == ANSWERS else MOST_TO_SIGN_IN)


class SmallSignIn:
    """Answers a sign-in, and a signing, that is too large before anything of it is read. No more
    than the length that a request tells is ever read of it."""

    def __init__(self, respond: Callable[[HttpRequest], HttpResponse]) -> None:
        self.respond = respond

    def __call__(self, request: HttpRequest) -> HttpResponse:
        told = request.META.get("CONTENT_LENGTH") or "0"
        if signs_in(request) and told.isdecimal() and int(told) > most_bytes(request):
            return error(
                413, "too_large", "That is more than signing in takes.", "Shorten what was entered."
            )
        return self.respond(request)
