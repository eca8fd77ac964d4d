"""The test run: a database file or a PostgreSQL of its own, keys made for the run."""

import atexit
import os
import shutil
import tempfile
from pathlib import Path

from heelwright.settings.base import *  # noqa: F403
from heelwright.settings.base import STORAGES, database, files, queue
from heelwright.vault import keyfile

SECRET_KEY = "test-only: signs sign-in sessions of the test run"  # noqa: S105
ALLOWED_HOSTS = ["*"]
PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]

_folder = Path(tempfile.mkdtemp(prefix="heelwright-test-"))
atexit.register(shutil.rmtree, _folder, ignore_errors=True)
DATABASES = {
    "default": database(
        os.environ.get("HEELWRIGHT_TEST_DATABASE_URL", f"sqlite:///{_folder}/main.sqlite3")
    )
}
if DATABASES["default"]["ENGINE"].endswith("sqlite3"):
    DATABASES["default"]["TEST"] = {"NAME": str(_folder / "test.sqlite3")}

STORAGES["photos"] = files(_folder / "photos")
HEELWRIGHT_KEY_FILE = str(_folder / "keys.json")
keyfile.make(Path(HEELWRIGHT_KEY_FILE))
CELERY_BROKER_URL, CELERY_BROKER_TRANSPORT_OPTIONS = queue(str(_folder / "queue"))
