"""The demo on one machine: SQLite, plain HTTP on this machine only, a secret and keys of its own.

Both are made at first use, before Django starts, since nothing starts without keys.
"""

import contextlib
import os
import secrets
import tempfile
from pathlib import Path

from heelwright.settings.base import *  # noqa: F403
from heelwright.settings.base import PROJECT, STORAGES, database, files, queue
from heelwright.vault import keyfile

HOME = PROJECT / "var" / "demo"


def secret(path: Path) -> str:
    """What signs the sign-ins; readable by its owner alone.

    It is linked into place whole: another process that starts now must not read half of it.
    """
    if not path.exists():
        descriptor, fresh = tempfile.mkstemp(dir=path.parent)
        with os.fdopen(descriptor, "w") as file:
            file.write(secrets.token_urlsafe(48))
        with contextlib.suppress(FileExistsError):
            os.link(fresh, path)
        Path(fresh).unlink()
    return path.read_text()


def keys(path: Path) -> str:
    with contextlib.suppress(keyfile.KeyFileError):  # they are there
        keyfile.make(path)
    return str(path)


HOME.mkdir(parents=True, exist_ok=True)
SECRET_KEY = secret(HOME / "secret")
HEELWRIGHT_KEY_FILE = os.environ.get("HEELWRIGHT_KEY_FILE") or keys(HOME / "keys.json")
ALLOWED_HOSTS = ["localhost", "127.0.0.1", "[::1]"]
DATABASES = {
    "default": database(
        os.environ.get("HEELWRIGHT_DATABASE_URL", f"sqlite:///{HOME}/heelwright.sqlite3")
    )
}
if not os.environ.get("HEELWRIGHT_PHOTO_FOLDER"):
    STORAGES["photos"] = files(HOME / "photos")
if not os.environ.get("HEELWRIGHT_QUEUE"):
    CELERY_BROKER_URL, CELERY_BROKER_TRANSPORT_OPTIONS = queue(str(HOME / "queue"))
# Mail of the demo is a file in this folder, and goes nowhere.
EMAIL_BACKEND = "django.core.mail.backends.filebased.EmailBackend"
EMAIL_FILE_PATH = os.environ.get("HEELWRIGHT_MAIL_FOLDER") or str(HOME / "mail")
