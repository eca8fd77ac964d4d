"""The vault app: no process of this installation starts without its keys."""

from django.apps import AppConfig
from django.conf import settings

from heelwright.vault import configured


class VaultConfig(AppConfig):
    name = "heelwright.vault"
    label = "vault"

    def ready(self) -> None:
        """Refuse to start without usable keys, rather than at the first client."""
        if getattr(settings, "HEELWRIGHT_REQUIRE_KEYS", True):
            configured.keys()
