"""`heelwright serve`: brings the database up to date and serves the app and its API with
granian."""

from argparse import ArgumentParser
from typing import Any

from django.core.management import call_command
from django.core.management.base import BaseCommand
from granian import Granian
from granian.constants import Interfaces


class Command(BaseCommand):
    help = "Serve the app."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--host", default="127.0.0.1")
        parser.add_argument("--port", type=int, default=8000)
        parser.add_argument("--workers", type=int, default=1)

    def handle(self, *_: Any, host: str, port: int, workers: int, **__: Any) -> None:
        call_command("migrate", interactive=False, verbosity=0)
        Granian(
            "heelwright.settings.wsgi:application",
            address=host,
            port=port,
            workers=workers,
            blocking_threads=16,
            interface=Interfaces.WSGI,
            log_access=False,
            websockets=False,
        ).serve()
