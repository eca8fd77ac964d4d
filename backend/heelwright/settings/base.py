"""What every way of running shares. The overlays say where data and keys live."""

import os
from pathlib import Path
from typing import Any

import dj_database_url
from django.core.exceptions import ImproperlyConfigured

PROJECT = Path(__file__).resolve().parents[3]

DEBUG = False
ALLOWED_HOSTS: list[str] = []
ROOT_URLCONF = "heelwright.settings.urls"
WSGI_APPLICATION = "heelwright.settings.wsgi.application"
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

INSTALLED_APPS = [
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "allauth",
    "allauth.account",
    "allauth.headless",
    "heelwright.rulebook",
    "heelwright.vault",
    "heelwright.tenancy",
    "heelwright.evidence",
    "heelwright.commandlog",
    "heelwright.people",
    "heelwright.intake",
    "heelwright.photos",
    "heelwright.schedule",
    "heelwright.lone_work",
    "heelwright.planning",
    "heelwright.kit",
    "heelwright.trips",
    "heelwright.takings",
    "heelwright.visits",
    "heelwright.documents",
    "heelwright.sync",
    "heelwright.settings",
]

MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "heelwright.settings.web.ContentSecurityPolicy",
    "heelwright.settings.web.KeptNowhere",
    "heelwright.settings.packing.PackedReplies",
    "heelwright.settings.web.TypedErrors",
    # Refuses a host that is not ours.
    "django.middleware.common.CommonMiddleware",
    "heelwright.settings.body_size.SmallSignIn",
    "heelwright.settings.json_body.StrictSignIn",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "allauth.account.middleware.AccountMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
]

TEMPLATES = [{"BACKEND": "django.template.backends.django.DjangoTemplates", "APP_DIRS": True}]

AUTH_USER_MODEL = "tenancy.Staff"
AUTHENTICATION_BACKENDS = ["allauth.account.auth_backends.AuthenticationBackend"]
AUTH_PASSWORD_VALIDATORS = [
    {
        "NAME": "django.contrib.auth.password_validation.MinimumLengthValidator",
        "OPTIONS": {"min_length": 10},
    },
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
]
ACCOUNT_ADAPTER = "heelwright.tenancy.signin.StaffOnly"
ACCOUNT_LOGIN_METHODS = {"email"}
ACCOUNT_SIGNUP_FIELDS = ["email*", "password1*"]
ACCOUNT_USER_MODEL_USERNAME_FIELD = None
# Beside the library's own limits, of which those of signing in are kept.
ACCOUNT_RATE_LIMITS: dict[str, str] | bool = {
    "recover_key": "10/h/user",
    "sign": "60/m/ip",
    "calendar": "60/m/ip",
}
ACCOUNT_EMAIL_VERIFICATION = "none"
HEADLESS_ONLY = True
HEADLESS_CLIENTS = ("app",)

APPEND_SLASH = False
LANGUAGE_CODE = "en"
USE_TZ = True
TIME_ZONE = "UTC"

SECURE_CONTENT_TYPE_NOSNIFF = True
SECURE_REFERRER_POLICY = "no-referrer"
X_FRAME_OPTIONS = "DENY"
SESSION_COOKIE_HTTPONLY = True
SESSION_COOKIE_SAMESITE = "Strict"

# A push carries at most a hundred commands; a body over this is refused before it is read.
DATA_UPLOAD_MAX_MEMORY_SIZE = 24 * 1024 * 1024

STATIC_URL = "/static/"
WHITENOISE_ROOT = PROJECT / "pwa" / "dist"
WHITENOISE_INDEX_FILE = True
WHITENOISE_ALLOW_ALL_ORIGINS = False


def database(url: str) -> dict[str, Any]:
    """Django's settings for one database address, SQLite or PostgreSQL.

    SQLite takes its write lock at the start of a transaction: a deferred one that turns to writing
    half-way loses to "database is locked" under load.
    """
    try:
        settings: dict[str, Any] = dict(dj_database_url.parse(url, conn_max_age=60))
    except ValueError:
        raise ImproperlyConfigured(
            "HEELWRIGHT_DATABASE_URL is no address of a database; see docs/operations.md."
        ) from None
    if settings["ENGINE"] == "django.db.backends.sqlite3":
        settings["OPTIONS"] = {
            "transaction_mode": "IMMEDIATE",
            "timeout": 20,
            "init_command": "PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL;"
            "PRAGMA secure_delete=ON;",
        }
    return settings


DATABASES = {
    "default": database(
        os.environ.get("HEELWRIGHT_DATABASE_URL", f"sqlite:///{PROJECT}/var/heelwright.sqlite3")
    )
}


def files(folder: Path) -> dict[str, Any]:
    """Photos as files of this machine, sealed, readable by their owner alone."""
    modes = {"file_permissions_mode": 0o600, "directory_permissions_mode": 0o700}
    return {
        "BACKEND": "heelwright.photos.files.SyncedFiles",
        "OPTIONS": {"location": str(folder), **modes},
    }


# A table of post codes, for a place of which the server has none of its own.
HEELWRIGHT_POST_CODES = os.environ.get("HEELWRIGHT_POST_CODES", "")

# Roads by a tar of tiles made of an OpenStreetMap extract, and by a service of the same interface.
HEELWRIGHT_ROAD_TILES = os.environ.get("HEELWRIGHT_ROAD_TILES", "")
HEELWRIGHT_ROAD_SERVICE = os.environ.get("HEELWRIGHT_ROAD_SERVICE", "")

STORAGES: dict[str, dict[str, Any]] = {
    "photos": files(Path(os.environ.get("HEELWRIGHT_PHOTO_FOLDER") or PROJECT / "var" / "photos")),
    # Django's own parts may ask for these; nothing is ever kept there.
    "default": {"BACKEND": "django.core.files.storage.InMemoryStorage"},
    "staticfiles": {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"},
}


def queue(place: str) -> tuple[str, dict[str, Any]]:
    """Celery's broker and its options: a Redis by its address, or a folder of this machine."""
    if place.startswith(("redis://", "rediss://")):
        return place, {"visibility_timeout": QUEUE_SECONDS}
    parts = {name: Path(place) / name for name in ("waiting", "control")}
    for part in parts.values():
        part.mkdir(mode=0o700, parents=True, exist_ok=True)
    folders = dict.fromkeys(("data_folder_in", "data_folder_out"), str(parts["waiting"]))
    return "filesystem://localhost/", folders | {"control_folder": str(parts["control"])}


# What was taken from Redis by a worker that died comes up again after as long; no task runs longer.
QUEUE_SECONDS = 3600
CELERY_BROKER_URL, CELERY_BROKER_TRANSPORT_OPTIONS = queue(
    os.environ.get("HEELWRIGHT_QUEUE") or str(PROJECT / "var" / "queue")
)
CELERY_TASK_IGNORE_RESULT = True
CELERY_TASK_TIME_LIMIT = QUEUE_SECONDS
CELERY_ACCEPT_CONTENT = ["json"]
CELERY_TIMEZONE = "UTC"
# What is due by the clock is due by its rows; when it was last looked for need not be kept.
CELERY_BEAT_SCHEDULER = "celery.beat:Scheduler"
# A server that lost its queue says so to whoever asks for something, and does not wait.
CELERY_BROKER_CONNECTION_TIMEOUT = 4
CELERY_TASK_PUBLISH_RETRY = False
# Log lines are ours: without data.
CELERY_WORKER_HIJACK_ROOT_LOGGER = False

EMAIL_HOST = os.environ.get("HEELWRIGHT_MAIL_HOST", "localhost")
EMAIL_PORT = int(os.environ.get("HEELWRIGHT_MAIL_PORT") or 25)
EMAIL_HOST_USER = os.environ.get("HEELWRIGHT_MAIL_USER", "")
EMAIL_HOST_PASSWORD = os.environ.get("HEELWRIGHT_MAIL_PASSWORD", "")
EMAIL_USE_TLS = os.environ.get("HEELWRIGHT_MAIL_TLS") == "yes"
EMAIL_TIMEOUT = 30
DEFAULT_FROM_EMAIL = os.environ.get("HEELWRIGHT_MAIL_FROM", "heelwright@localhost")

HEELWRIGHT_KEY_FILE = os.environ.get("HEELWRIGHT_KEY_FILE")
HEELWRIGHT_REQUIRE_KEYS = True

LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "formatters": {"bare": {"()": "heelwright.settings.logs.BareFormatter"}},
    "filters": {"not_told_before": {"()": "heelwright.settings.logs.NotToldBefore"}},
    "handlers": {"stderr": {"class": "logging.StreamHandler", "formatter": "bare"}},
    "root": {"handlers": ["stderr"], "level": "INFO"},
    "loggers": {
        "django.server": {"handlers": ["stderr"], "level": "WARNING", "propagate": False},
        "django.request": {
            "handlers": ["stderr"],
            "filters": ["not_told_before"],
            "level": "ERROR",
            "propagate": False,
        },
    },
}
