"""The demo on one machine: SQLite, keys of its own under var/, plain HTTP on this machine only."""

import os

from heelwright.settings.base import *  # noqa: F403
from heelwright.settings.base import PROJECT, database

HOME = PROJECT / "var" / "demo"
SECRET_KEY = "demo-only: signs sign-in sessions of the invented practice, seals nothing"  # noqa: S105
ALLOWED_HOSTS = ["localhost", "127.0.0.1", "[::1]"]
DATABASES = {
    "default": database(
        os.environ.get("HEELWRIGHT_DATABASE_URL", f"sqlite:///{HOME}/heelwright.sqlite3")
    )
}
HEELWRIGHT_KEY_FILE = os.environ.get("HEELWRIGHT_KEY_FILE", str(HOME / "keys.json"))
