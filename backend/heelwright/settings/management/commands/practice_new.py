"""`heelwright practice_new`: founds a practice with its owner. Asks for the password; never takes
it as an argument, where others could read it."""

from argparse import ArgumentParser
from getpass import getpass
from typing import Any
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.core.management.base import BaseCommand, CommandError

from heelwright import clock
from heelwright.people.founding import Founder, found_practice
from heelwright.rulebook import overlays
from heelwright.tenancy.models import Practice


class Command(BaseCommand):
    help = "Found a practice and its owner."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("name")
        parser.add_argument("--zone", required=True, help="such as Europe/London")
        parser.add_argument("--units", choices=["metric", "imperial"], default="metric")
        parser.add_argument("--place", choices=["", *overlays()], default="")
        parser.add_argument("--reply-to", default="", help="how to reach you: letters, aftercare")
        parser.add_argument("--owner", required=True, help="the owner's name")
        parser.add_argument("--email", required=True, help="what the owner signs in with")

    def handle(self, *_: Any, **given: Any) -> None:
        try:
            ZoneInfo(given["zone"])
        except (ZoneInfoNotFoundError, ValueError):
            raise CommandError("--zone: unknown; give one like Europe/London.") from None
        password = new_password()
        founder = Founder(given["owner"], given["email"], password)
        fields = ("name", "zone", "units", "place", "reply_to")
        practice = Practice(**{field: given[field] for field in fields})
        found_practice(practice, founder, clock.now())
        self.stdout.write("The practice is founded; its owner can sign in.")


def new_password() -> str:
    """A password typed twice alike and strong enough; raises CommandError."""
    first = getpass("Password: ")
    if first != getpass("Again: "):
        raise CommandError("The two passwords differ; start again.")
    try:
        validate_password(first)
    except ValidationError as weak:
        raise CommandError(" ".join(weak.messages)) from None
    return first
