"""The `heelwright` command: Django's management commands under the project's own name."""

import os
import sys


def main() -> None:
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "heelwright.settings.production")
    from django.core.management import execute_from_command_line

    execute_from_command_line(["heelwright", *sys.argv[1:]])


if __name__ == "__main__":
    main()
