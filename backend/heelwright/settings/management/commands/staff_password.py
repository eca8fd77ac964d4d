"""`heelwright staff_password EMAIL`: sets the password of a member of staff."""

from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from heelwright.settings.management.commands.practice_new import new_password
from heelwright.tenancy.models import Staff


class Command(BaseCommand):
    help = "Set a password for somebody who signs in with this e-mail."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("email")

    def handle(self, *_: Any, email: str, **__: Any) -> None:
        staff = Staff.objects.filter(email__iexact=email, ended_at=None).first()
        if staff is None:
            raise CommandError("Nobody signs in with this e-mail.")
        set_password(staff, new_password())
        self.stdout.write("The password is set.")


def set_password(staff: Staff, password: str) -> None:
    staff.set_password(password)
    staff.save(update_fields=["password"])
