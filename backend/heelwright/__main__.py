"""The `heelwright` command: Django's management commands under the project's own name.

What a server lacks to run one is said in a line or two, with exit code 2.
"""

import os
import sys

SETTINGS = "DJANGO_SETTINGS_MODULE"
DEMO = "heelwright.settings.demo"
HELP = {"help", "--help", "-h", "--version"}


def main() -> None:
    _choose_settings(sys.argv[1:])
    from django.core.exceptions import ImproperlyConfigured
    from django.core.management import execute_from_command_line
    from django.db import OperationalError, ProgrammingError

    try:
        execute_from_command_line(["heelwright", *sys.argv[1:]])
    except ImproperlyConfigured as error:
        _stop(f"{error}\nFor the practice that `make demo` made, add: --settings {DEMO}")
    except (OperationalError, ProgrammingError) as error:
        # The first line says what is wrong; those after it may quote what was asked.
        _stop(
            f"The database cannot be used: {str(error).splitlines()[0]}.\n"
            "For the demo's practice, let `make demo` load it first. For your own, check "
            "HEELWRIGHT_DATABASE_URL, then run `heelwright migrate`; see docs/operations.md."
        )


def _choose_settings(arguments: list[str]) -> None:
    first = arguments[0] if arguments else "help"
    if first == "rulebook" or HELP.intersection([first, *arguments]):
        os.environ[SETTINGS] = "heelwright.settings.bare"
    else:
        overlay = DEMO if first == "demo" else "heelwright.settings.production"
        os.environ.setdefault(SETTINGS, overlay)


def _stop(text: str) -> None:
    sys.stderr.write(f"{text}\n")
    sys.exit(2)


if __name__ == "__main__":
    main()
