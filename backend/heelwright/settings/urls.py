"""Where everything answers: the API, sign-in, and the app itself for every other address."""

from django.conf import settings
from django.http import FileResponse, HttpRequest, HttpResponseBase
from django.urls import include, path, re_path

from heelwright.settings.api import api
from heelwright.settings.web import error


def missing(request: HttpRequest, exception: Exception) -> HttpResponseBase:
    return error(404, "not_found", "There is nothing here.", "Check the address.")


def app(request: HttpRequest) -> HttpResponseBase:
    """The one page of the app; its own addresses live behind the # and never reach the server."""
    page = settings.WHITENOISE_ROOT / "index.html"
    if not page.exists():
        return error(503, "app_not_built", "The app is not built yet.", "Run `make build`.")
    return FileResponse(page.open("rb"), content_type="text/html")


handler404 = missing
urlpatterns = [
    path("api/", api.urls),
    path("_allauth/", include("allauth.headless.urls")),
    re_path(r"^$", app),
]
