"""Django in this process, on the database of a served app: what is counted here is what it does."""

import os

from tests.services.served import ServedApp


def set_up_django(app: ServedApp) -> None:
    os.environ["DJANGO_SETTINGS_MODULE"] = "heelwright.settings.demo"
    os.environ["HEELWRIGHT_DATABASE_URL"] = app.database_url
    os.environ["HEELWRIGHT_KEY_FILE"] = str(app.key_file)
    os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "true"
    import django

    django.setup()


def use_database(name: str) -> None:
    """Another database of the same PostgreSQL server from here on."""
    from django.db import connection

    connection.close()
    connection.settings_dict["NAME"] = name


def here() -> str:
    """The cursor of somebody who has everything."""
    from heelwright.sync.cursor import Cursor
    from heelwright.tenancy.models import Practice

    practice = Practice.objects.get()
    return Cursor(done=practice.feed_seq, mark=str(practice.feed_mark)).write()
