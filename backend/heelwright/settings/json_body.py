"""Reads a request's body as JSON, and as nothing more than JSON.

Python's reader lets NaN and endless numbers through, which no other reader takes back, guesses at
encodings, and keeps the last of two answers under one name; and what is nested too deep would fail
later, half-way.
"""

import json
from collections.abc import Callable
from typing import Any, NoReturn

from django.http import HttpRequest, HttpResponse
from ninja.parser import Parser

from heelwright.commandlog.validation import check_characters, known_name
from heelwright.declarations import Refused
from heelwright.settings.body_size import signs_in
from heelwright.settings.packing import unpacked
from heelwright.settings.web import error

DEEPEST = 20
DEEPEST_TO_SIGN_IN = 5


class NotJson(Refused):
    """400: this is not JSON."""

    def __init__(self) -> None:
        super().__init__("not_json", "The request is not JSON.", "Send it as JSON.")


class WrongContentType(Refused):
    """415: a form of a web page can't send JSON, so it can't send anything here."""

    def __init__(self) -> None:
        super().__init__(
            "wrong_content_type", "The request does not say that it is JSON.", "Send it as JSON."
        )


class StrictJson(Parser):
    """For the API's own routes, which are asked by a device that has proved itself: it may pack its
    body."""

    def parse_body(self, request: HttpRequest) -> Any:
        check_type(request)
        return read(unpacked(request), DEEPEST_TO_SIGN_IN if signs_in(request) else DEEPEST)


class StrictSignIn:
    """For the sign-in library's routes, whose own reader is as loose as Python's."""

    def __init__(self, respond: Callable[[HttpRequest], HttpResponse]) -> None:
        self.respond = respond

    def __call__(self, request: HttpRequest) -> HttpResponse:
        if request.path.startswith("/_allauth/") and request.body:
            try:
                check_type(request)
                check_characters(read(request.body, DEEPEST_TO_SIGN_IN))
            except Refused as no:
                status = 415 if isinstance(no, WrongContentType) else 400
                return error(status, no.code, no.text, no.remedy, known_name(no.field))
        return self.respond(request)


def check_type(request: HttpRequest) -> None:
    if request.content_type != "application/json":
        raise WrongContentType


def read(body: bytes, deepest: int) -> Any:
    """The value; raises NotJson for anything that another reader might take otherwise, and for what
    is nested deeper than that."""
    try:
        value = json.loads(
            body.decode("utf-8"),
            parse_constant=_refuse,
            parse_float=_finite,
            object_pairs_hook=_once_each,
        )
    except (ValueError, RecursionError):
        raise NotJson from None
    if _deeper_than(value, deepest):
        raise NotJson
    return value


def _refuse(_: str) -> NoReturn:
    raise NotJson


def _once_each(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    named = dict(pairs)
    if len(named) < len(pairs):
        raise NotJson
    return named


def _finite(digits: str) -> float:
    number = float(digits)
    if number in (float("inf"), float("-inf")):
        raise NotJson
    return number


def _deeper_than(value: Any, levels: int) -> bool:
    if not isinstance(value, dict | list):
        return False
    parts = value.values() if isinstance(value, dict) else value
    return levels == 0 or any(_deeper_than(part, levels - 1) for part in parts)
