"""The documents app. It finds the papers at start."""

from django.apps import AppConfig
from django.utils.module_loading import autodiscover_modules


class DocumentsConfig(AppConfig):
    """Finds the papers that the areas declare."""

    name = "heelwright.documents"
    label = "documents"

    def ready(self) -> None:
        autodiscover_modules("documents")
