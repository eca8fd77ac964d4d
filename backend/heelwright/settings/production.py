"""A practice's own server. Refuses to start without its secret, its hosts and its keys."""

import os

from django.core.exceptions import ImproperlyConfigured

from heelwright.settings.base import *  # noqa: F403
from heelwright.settings.base import HEELWRIGHT_KEY_FILE, STORAGES
from heelwright.settings.bucket import bucket

MISSING = [
    name for name in ("HEELWRIGHT_SECRET_KEY", "HEELWRIGHT_HOSTS") if not os.environ.get(name)
]
if not (HEELWRIGHT_KEY_FILE or os.environ.get("HEELWRIGHT_KEYS")):
    MISSING.append("HEELWRIGHT_KEY_FILE")
if MISSING:
    raise ImproperlyConfigured(
        f"Set {', '.join(MISSING)} in the environment; see docs/operations.md."
    )

# Photos lie in a bucket, where one is named, and else in the folder of the base settings.
if os.environ.get("HEELWRIGHT_PHOTO_BUCKET"):
    STORAGES["photos"] = bucket(os.environ["HEELWRIGHT_PHOTO_BUCKET"])

SECRET_KEY = os.environ["HEELWRIGHT_SECRET_KEY"]
ALLOWED_HOSTS = os.environ["HEELWRIGHT_HOSTS"].split(",")
SESSION_COOKIE_SECURE = True
SECURE_HSTS_SECONDS = 31_536_000
BEHIND_PROXY = os.environ.get("HEELWRIGHT_BEHIND_TLS_PROXY") == "yes"
SECURE_SSL_REDIRECT = not BEHIND_PROXY
# Tries are counted by address: without it all that come through the proxy would count as one.
ALLAUTH_TRUSTED_PROXY_COUNT = 1 if BEHIND_PROXY else 0
SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https")
