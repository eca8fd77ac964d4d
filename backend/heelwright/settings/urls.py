"""Where everything answers: the API and sign-in. The app's own files are served by WhiteNoise, and
its addresses live behind the # and never reach the server."""

from django.http import HttpRequest, HttpResponse
from django.urls import include, path

from heelwright.settings.api import api
from heelwright.settings.web import error


def missing(request: HttpRequest, exception: Exception) -> HttpResponse:  # noqa: ARG001 - Django's
    return error(404, "not_found", "There is nothing here.", "Check the address.")


handler404 = missing
urlpatterns = [
    path("api/", api.urls),
    path("_allauth/", include("allauth.headless.urls")),
]
