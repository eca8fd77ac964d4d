"""`heelwright work`: does what waits in the queue, and, with `--beat`, what is due by the clock."""

import warnings
from argparse import ArgumentParser
from typing import Any

from celery.exceptions import SecurityWarning
from django.core.management.base import BaseCommand

from heelwright.settings.celery import app


class Command(BaseCommand):
    help = "Do what waits in the queue. One worker of a practice runs with --beat."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--beat", action="store_true", help="start what is due by the clock")
        parser.add_argument("--at-once", type=int, default=2, help="how many tasks at a time")

    def handle(self, *_: Any, beat: bool, at_once: int, **__: Any) -> None:
        # That of running as root is about pickled tasks, which are taken from nobody.
        warnings.simplefilter("ignore", SecurityWarning)
        # Threads: Celery's clock runs in the worker's own process, where a queue of files is one.
        how = ["--pool", "threads", "--concurrency", str(at_once), "--loglevel", "WARNING"]
        alone = ["--without-gossip", "--without-mingle", *(["--beat"] if beat else [])]
        app.start(["--quiet", "worker", *how, *alone])
