"""The `heelwright` command: Django's management commands under the project's own name."""

import os
import sys


def main() -> None:
    # The rulebook is files: to read it takes neither keys nor a database.
    overlay = "demo" if sys.argv[1:2] in (["demo"], ["rulebook"]) else "production"
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", f"heelwright.settings.{overlay}")
    from django.core.management import execute_from_command_line

    execute_from_command_line(["heelwright", *sys.argv[1:]])


if __name__ == "__main__":
    main()
