"""`heelwright demo`: makes the invented practice on this machine, once, and serves it."""

import random
import socket
import subprocess
import sys
import time
from argparse import ArgumentParser
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import timedelta
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from django.conf import settings
from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError
from django.db import connection

from heelwright import clock
from heelwright.people.models import Facility
from heelwright.schedule.models import Booking
from heelwright.settings.demonstration.leaflet import leaflet
from heelwright.settings.demonstration.load import load
from heelwright.settings.demonstration.scenario import read
from heelwright.tenancy.models import Practice
from heelwright.vault import SealBroken

SCENARIO = settings.PROJECT / "demo_data"
HOME = settings.PROJECT / "var" / "demo"
SEED = 20
HOST = "127.0.0.1"


class Command(BaseCommand):
    help = "Serve an invented practice on this computer."
    requires_system_checks: list[str] = []

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--port", type=int, default=8000)
        parser.add_argument("--fresh", action="store_true", help="throw the old one away first")
        parser.add_argument("--load-only", action="store_true", help="make it, but don't serve it")

    def handle(self, *_: Any, port: int, fresh: bool, load_only: bool, **__: Any) -> None:
        if settings.SETTINGS_MODULE != "heelwright.settings.demo":
            raise CommandError("The demo runs on its own settings: unset DJANGO_SETTINGS_MODULE.")
        if not load_only:
            _check_free(port)
        if fresh:
            _forget()
        call_command("migrate", interactive=False, verbosity=0)
        self._load()
        if not load_only:
            self.stdout.write(leaflet(read(SCENARIO), f"http://localhost:{port}"))
            self.stdout.flush()
            with _worker():
                call_command("serve", host=HOST, port=port)

    def _load(self) -> None:
        if Practice.objects.exists():
            _check_keys()
            if not _booked_today():
                self.stdout.write(
                    "Nobody is booked today: this practice was made for another day. "
                    "`heelwright demo --fresh` makes it anew."
                )
            return
        self.stdout.write("Loading a year of an invented practice, once; one to four minutes …")
        self.stdout.flush()
        began = time.monotonic()
        loaded = load(SCENARIO, clock.now(), random.Random(SEED))  # noqa: S311 - invented data
        self.stdout.write(f"{loaded.commands} commands in {time.monotonic() - began:.0f} seconds.")


@contextmanager
def _worker() -> Iterator[None]:
    """What is done beside the server, while it runs."""
    command = [sys.executable, "-m", "heelwright", "work", "--beat"]
    worker = subprocess.Popen(command)  # noqa: S603 - our own words
    try:
        yield
    finally:
        worker.terminate()
        worker.wait()


def _check_free(port: int) -> None:
    with socket.socket() as probe:
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((HOST, port))
        except OSError:
            raise CommandError(
                f"Port {port} is busy: the demo runs already, or something else is served there. "
                f"Choose another one: heelwright demo --port {port + 1}"
            ) from None


def _check_keys() -> None:
    try:
        Facility.objects.all()[0].name  # noqa: B018 - opening it is the check
    except SealBroken:
        raise CommandError(
            "The keys in var/demo are not those of this database, so nothing in it can be read. "
            "Start over: heelwright demo --fresh"
        ) from None


def _forget() -> None:
    """Throws away what the demo made. A database elsewhere is somebody's own; keys stay."""
    database = Path(connection.settings_dict["NAME"])
    if connection.vendor != "sqlite" or database.parent != HOME:
        raise CommandError("--fresh works on the demo's own database only; empty yours by hand.")
    connection.close()
    for part in HOME.glob(f"{database.name}*"):
        part.unlink()


def _booked_today() -> bool:
    practice = Practice.objects.earliest("pk")
    midnight = clock.now().astimezone(ZoneInfo(practice.zone)).replace(hour=0, minute=0)
    day = Booking.objects.filter(
        practice=practice, starts_at__gte=midnight, starts_at__lt=midnight + timedelta(days=1)
    )
    return day.exists()
