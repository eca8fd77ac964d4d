"""How much a body may hold: little where nobody has proved yet who they are."""

from collections.abc import Callable

from django.conf import settings
from django.http import HttpRequest, HttpResponse

from heelwright.settings.web import error

# An e-mail and a password, or a device's name.
MOST_TO_SIGN_IN = 16 * 1024


def signs_in(request: HttpRequest) -> bool:
    return request.path.startswith("/_allauth/") or request.path == "/api/devices"


def most_bytes(request: HttpRequest) -> int:
    """How large the body may be, plain or unpacked."""
    largest = settings.DATA_UPLOAD_MAX_MEMORY_SIZE or 0
    return min(largest, MOST_TO_SIGN_IN) if signs_in(request) else largest


class SmallSignIn:
    """Answers a sign-in that is too large before anything of it is read. No more than the length
    that a request tells is ever read of it."""

    def __init__(self, respond: Callable[[HttpRequest], HttpResponse]) -> None:
        self.respond = respond

    def __call__(self, request: HttpRequest) -> HttpResponse:
        told = request.META.get("CONTENT_LENGTH") or "0"
        if signs_in(request) and told.isdecimal() and int(told) > MOST_TO_SIGN_IN:
            return error(
                413, "too_large", "That is more than signing in takes.", "Shorten what was entered."
            )
        return self.respond(request)
