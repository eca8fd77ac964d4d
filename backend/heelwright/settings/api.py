"""Composes the areas' routers into one API, and gives every error the same shape."""

from django.core.exceptions import RequestDataTooBig
from django.http import HttpRequest, HttpResponse
from ninja import NinjaAPI
from ninja.errors import AuthenticationError, HttpError, Throttled, ValidationError

from heelwright.commandlog.protocol import AppOutOfDate, ServerOutOfDate
from heelwright.commandlog.receive import DeviceCloned
from heelwright.commandlog.validation import known_name, refusal
from heelwright.declarations import Refused
from heelwright.documents.api import router as documents
from heelwright.intake.sign_api import router as sign
from heelwright.intake.signing_link import LinkAnswered, LinkOver, LinkTaken, LinkUnknown
from heelwright.people.api import router as people
from heelwright.people.residents.api import router as residents
from heelwright.photos.api import router as photos
from heelwright.photos.receiving import PartTooLarge, PhotoDiffers
from heelwright.photos.storing import StorageAway
from heelwright.places.api import router as places
from heelwright.planning.api import QueueAway
from heelwright.planning.api import router as planning
from heelwright.schedule.calendar_api import router as calendars
from heelwright.settings.json_body import StrictJson, WrongContentType
from heelwright.settings.packing import UnknownPacking, UnpacksTooLarge
from heelwright.settings.web import describe, error
from heelwright.sync.api import router as sync
from heelwright.tenancy.signin import DeviceRevoked, NotSignedIn, TooManyTries

api = NinjaAPI(
    title="Heelwright", version="1", docs_url=None, openapi_url=None, parser=StrictJson()
)
api.add_router("", people)
api.add_router("", residents)
api.add_router("", places)
api.add_router("", planning)
api.add_router("", sync)
api.add_router("/documents", documents)
api.add_router("/photos", photos)
api.add_router("/sign", sign)
api.add_router("/calendar", calendars)

STATUS: dict[type[Refused], int] = {
    NotSignedIn: 401,
    DeviceRevoked: 403,
    LinkUnknown: 404,
    DeviceCloned: 409,
    LinkTaken: 409,
    LinkAnswered: 409,
    LinkOver: 410,
    UnpacksTooLarge: 413,
    PartTooLarge: 413,
    WrongContentType: 415,
    UnknownPacking: 415,
    PhotoDiffers: 422,
    AppOutOfDate: 426,
    TooManyTries: 429,
    ServerOutOfDate: 503,
    StorageAway: 503,
    QueueAway: 503,
}


def told(no: Refused) -> HttpResponse:
    status = STATUS.get(type(no), 404 if no.code == "not_found" else 400)
    return error(status, no.code, no.text, no.remedy, known_name(no.field))


@api.exception_handler(Refused)
def refused(_: HttpRequest, no: Refused) -> HttpResponse:
    return told(no)


@api.exception_handler(AuthenticationError)
def not_signed_in(_: HttpRequest, _problem: AuthenticationError) -> HttpResponse:
    return told(NotSignedIn())


@api.exception_handler(ValidationError)
def bad_shape(_: HttpRequest, problem: ValidationError) -> HttpResponse:
    """ninja's locations begin with where it looked (body, path, query) and the argument's name;
    people get the rest, or the name where there is none."""
    problems = [{**p, "loc": p["loc"][2:] or p["loc"][1:] or p["loc"]} for p in problem.errors]
    no = refusal(problems)
    return error(422, no.code, no.text, no.remedy, known_name(no.field))


@api.exception_handler(HttpError)
def bad_request(_: HttpRequest, problem: HttpError) -> HttpResponse:
    """ninja wraps what the body's reader raises."""
    if isinstance(problem.__cause__, Refused):
        return told(problem.__cause__)
    return error(problem.status_code, "bad_request", "That was not understood.", "Send it again.")


@api.exception_handler(Throttled)
def too_often(_: HttpRequest, _problem: Throttled) -> HttpResponse:
    return told(TooManyTries("Wait a minute, then try again."))


@api.exception_handler(Exception)
@api.exception_handler(RequestDataTooBig)
def unexpected(_: HttpRequest, problem: Exception) -> HttpResponse:
    return describe(problem)
