"""What every HTTP answer gets: a content security policy, and a typed error instead of a bare
page."""

import logging
from collections.abc import Callable

from django.core.exceptions import RequestDataTooBig
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.http.request import UnreadablePostError

logger = logging.getLogger(__name__)
Respond = Callable[[HttpRequest], HttpResponse]

POLICY = "; ".join(
    [
        "default-src 'self'",
        "img-src 'self' data: blob:",
        "style-src 'self' 'unsafe-inline'",
        "object-src 'none'",
        "base-uri 'none'",
        "form-action 'self'",
        "frame-ancestors 'none'",
    ]
)


class ContentSecurityPolicy:
    """Only this server's own scripts run."""

    def __init__(self, respond: Respond) -> None:
        self.respond = respond

    def __call__(self, request: HttpRequest) -> HttpResponse:
        response = self.respond(request)
        response.headers.setdefault("Content-Security-Policy", POLICY)
        return response


def error(status: int, code: str, text: str, remedy: str, field: str | None = None) -> JsonResponse:
    """The one shape of an error on the wire."""
    body = {"code": code, "field": field, "text": text, "remedy": remedy}
    return JsonResponse(body, status=status)


class TypedErrors:
    """Turns what Django would answer with an HTML page into the wire's error shape."""

    def __init__(self, respond: Respond) -> None:
        self.respond = respond

    def __call__(self, request: HttpRequest) -> HttpResponse:
        return self.respond(request)

    def process_exception(self, request: HttpRequest, problem: Exception) -> HttpResponse:
        return describe(problem)


def describe(problem: Exception) -> JsonResponse:
    """The typed answer for an exception that nobody meant."""
    if isinstance(problem, RequestDataTooBig):
        return error(
            413, "too_large", "That is more than can be sent at once.", "Send it in smaller parts."
        )
    if isinstance(problem, UnreadablePostError):
        return error(400, "cut_off", "The request broke off half-way.", "Send it again.")
    logger.error("unexpected error", exc_info=problem)
    return error(
        503,
        "server_trouble",
        "The server could not do that just now. Nothing was changed.",
        "Your work is kept on the phone and is sent again by itself.",
    )
