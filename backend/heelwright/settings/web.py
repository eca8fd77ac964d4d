"""What every HTTP answer gets: a content security policy, no place in a cache where it may tell of
somebody, and a typed error instead of a bare page."""

import json
import logging
from collections.abc import Callable, Mapping
from typing import Any

from django.core.exceptions import RequestDataTooBig
from django.http import Http404, HttpRequest, HttpResponse, JsonResponse
from django.http.request import UnreadablePostError

logger = logging.getLogger(__name__)
Respond = Callable[[HttpRequest], HttpResponse]

# WebAssembly reads labels where a browser has no reader of its own; it runs no text as a script.
POLICY = (
    "default-src 'self'; script-src 'self' 'wasm-unsafe-eval'; "
    "img-src 'self' data: blob:; style-src 'self' 'unsafe-inline'; "
    "object-src 'none'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'"
)


class ContentSecurityPolicy:
    """Only this server's own scripts run."""

    def __init__(self, respond: Respond) -> None:
        self.respond = respond

    def __call__(self, request: HttpRequest) -> HttpResponse:
        response = self.respond(request)
        response.headers.setdefault("Content-Security-Policy", POLICY)
        return response


class KeptNowhere:
    """No cache, in the browser or on the way, keeps what the API or the sign-in answers."""

    def __init__(self, respond: Respond) -> None:
        self.respond = respond

    def __call__(self, request: HttpRequest) -> HttpResponse:
        response = self.respond(request)
        if request.path.startswith(("/api/", "/_allauth/")):
            response.headers["Cache-Control"] = "no-store"
        return response


def error(status: int, code: str, text: str, remedy: str, field: str | None = None) -> JsonResponse:
    """The one shape of an error on the wire."""
    body = {"code": code, "field": field, "text": text, "remedy": remedy}
    return JsonResponse(body, status=status)


class TypedErrors:
    """Turns what Django or the sign-in would answer in a form of its own into the wire's error."""

    def __init__(self, respond: Respond) -> None:
        self.respond = respond

    def __call__(self, request: HttpRequest) -> HttpResponse:
        response = self.respond(request)
        if response.status_code < 400:
            return response
        told = _content(response)
        if "code" in told and "remedy" in told:
            return response
        typed = _signing_in(response.status_code, told) or _bare(response.status_code)
        for header in ("Allow", "Content-Security-Policy", "Retry-After"):
            if header in response.headers:
                typed.headers[header] = response.headers[header]
        return typed

    def process_exception(self, request: HttpRequest, problem: Exception) -> HttpResponse | None:
        return None if isinstance(problem, Http404) else describe(problem)


def _content(response: HttpResponse) -> dict[str, Any]:
    kind = response.headers.get("Content-Type", "")
    if response.streaming or not kind.startswith("application/json"):
        return {}
    try:
        content = json.loads(response.content)
    except ValueError:
        return {}
    return content if isinstance(content, dict) else {}


def _signing_in(status: int, told: Mapping[str, Any]) -> JsonResponse | None:
    """An error of the sign-in library, with its own fields kept for clients that read those."""
    problems = told.get("errors") or [{}]
    if "errors" not in told and "meta" not in told:
        return None
    code = problems[0].get("code") or "not_signed_in"
    field = problems[0].get("param")
    text, remedy = SIGNING_IN.get(code, ("The sign-in was not accepted.", "Check and try again."))
    typed = {"code": code, "field": field, "text": text, "remedy": remedy}
    return JsonResponse({**told, **typed}, status=status)


SIGNING_IN = {
    "email_password_mismatch": (
        "The e-mail or the password is wrong.",
        "Type both again, or ask the person who runs your practice.",
    ),
    "too_many_login_attempts": ("Too many tries.", "Wait some minutes, then try again."),
    "not_signed_in": ("You are not signed in.", "Sign in again; your work stays here."),
    "required": ("Something is missing.", "Fill it in."),
}


def _bare(status: int) -> JsonResponse:
    code, text, remedy = BARE.get(status, ("bad_request", "That was not understood.", "Try again."))
    return error(status, code, text, remedy)


BARE = {
    403: ("not_allowed", "This is not allowed.", "Sign in again."),
    404: ("not_found", "There is nothing here.", "Check the address."),
    405: ("wrong_method", "This address is not asked that way.", "Update the app."),
    413: ("too_large", "That is more than can be sent at once.", "Send it in smaller parts."),
    429: ("too_many", "Too many tries.", "Wait some minutes, then try again."),
    500: ("server_trouble", "The server could not do that just now.", "Try again later."),
}


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
