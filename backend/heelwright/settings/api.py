"""Composes the areas' routers into one API, and gives every error the same shape."""

from django.core.exceptions import RequestDataTooBig
from django.http import HttpRequest, HttpResponse
from ninja import NinjaAPI
from ninja.errors import AuthenticationError, HttpError, ValidationError

from heelwright.commandlog.receive import DeviceCloned
from heelwright.commandlog.validation import refusal
from heelwright.declarations import Refused
from heelwright.documents.api import router as documents
from heelwright.settings.web import describe, error
from heelwright.sync.api import router as sync
from heelwright.tenancy.api import router as tenancy
from heelwright.tenancy.signin import DeviceRevoked, NotSignedIn

api = NinjaAPI(title="Heelwright", version="1", docs_url=None, openapi_url=None)
api.add_router("", tenancy)
api.add_router("", sync)
api.add_router("/documents", documents)

STATUS: dict[type[Refused], int] = {NotSignedIn: 401, DeviceRevoked: 403, DeviceCloned: 409}


@api.exception_handler(Refused)
def refused(request: HttpRequest, no: Refused) -> HttpResponse:
    status = STATUS.get(type(no), 404 if no.code == "not_found" else 400)
    return error(status, no.code, no.text, no.remedy, no.field)


@api.exception_handler(AuthenticationError)
def not_signed_in(request: HttpRequest, problem: AuthenticationError) -> HttpResponse:
    return refused(request, NotSignedIn())


@api.exception_handler(ValidationError)
def bad_shape(request: HttpRequest, problem: ValidationError) -> HttpResponse:
    """ninja's locations begin with where it looked (body) and the argument's name; people get the
    rest."""
    problems = [{**p, "loc": p["loc"][2:] or p["loc"]} for p in problem.errors]
    no = refusal(problems)
    return error(422, no.code, no.text, no.remedy, no.field)


@api.exception_handler(HttpError)
def bad_request(request: HttpRequest, problem: HttpError) -> HttpResponse:
    if problem.status_code == 400:
        return error(400, "not_json", "The request is not JSON.", "Send it as JSON.")
    return error(problem.status_code, "bad_request", "That was not understood.", "Send it again.")


@api.exception_handler(Exception)
@api.exception_handler(RequestDataTooBig)
def unexpected(request: HttpRequest, problem: Exception) -> HttpResponse:
    return describe(problem)
