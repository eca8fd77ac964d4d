"""Where everything answers: the API and sign-in. The app's own files are served by WhiteNoise, and
its addresses live behind the # and never reach the server.

Of the sign-in library only the two addresses that a phone uses are open. The others change e-mails
and passwords or send mail, which here the server's keeper does.
"""

from allauth.headless.account.views import LoginView, SessionView
from allauth.headless.constants import Client
from django.http import HttpRequest, HttpResponse
from django.urls import path

from heelwright.settings.api import api
from heelwright.settings.web import error


def missing(request: HttpRequest, exception: Exception) -> HttpResponse:  # noqa: ARG001 - Django's
    return error(404, "not_found", "There is nothing here.", "Check the address.")


handler404 = missing
urlpatterns = [
    path("api/", api.urls),
    path("_allauth/app/v1/auth/login", LoginView.as_api_view(client=Client.APP)),
    path("_allauth/app/v1/auth/session", SessionView.as_api_view(client=Client.APP)),
]
