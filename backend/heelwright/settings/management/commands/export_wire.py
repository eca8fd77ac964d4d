"""`heelwright export_wire`: writes the wire's schema, from which `npm run wire` makes the types."""

import json
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand

from heelwright.settings.wire import openapi


class Command(BaseCommand):
    help = "Write pwa/src/wire/openapi.json from the server's models."
    requires_system_checks: list[str] = []

    def handle(self, *_: Any, **__: Any) -> None:
        path = settings.PROJECT / "pwa" / "src" / "wire" / "openapi.json"
        path.write_text(json.dumps(openapi(), indent=2, sort_keys=True) + "\n")
        self.stdout.write(f"wrote {path.relative_to(settings.PROJECT)}")
