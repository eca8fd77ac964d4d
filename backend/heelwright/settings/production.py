"""A practice's own server. Refuses to start without its secret, its hosts and its keys."""

import os

from django.core.exceptions import ImproperlyConfigured

from heelwright.settings.base import *  # noqa: F403
from heelwright.settings.base import STORAGES
from heelwright.settings.bucket import bucket


def required(name: str) -> str:
    value = os.environ.get(name, "")
    if not value:
        raise ImproperlyConfigured(f"Set {name} in the environment; see docs/operations.md.")
    return value


# Photos lie in a bucket, where one is named, and else in the folder of the base settings.
if os.environ.get("HEELWRIGHT_PHOTO_BUCKET"):
    STORAGES["photos"] = bucket(required("HEELWRIGHT_PHOTO_BUCKET"))

SECRET_KEY = required("HEELWRIGHT_SECRET_KEY")
ALLOWED_HOSTS = required("HEELWRIGHT_HOSTS").split(",")
SESSION_COOKIE_SECURE = True
SECURE_HSTS_SECONDS = 31_536_000
BEHIND_PROXY = os.environ.get("HEELWRIGHT_BEHIND_TLS_PROXY") == "yes"
SECURE_SSL_REDIRECT = not BEHIND_PROXY
# Tries are counted by address: without it all that come through the proxy would count as one.
ALLAUTH_TRUSTED_PROXY_COUNT = 1 if BEHIND_PROXY else 0
SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https")
