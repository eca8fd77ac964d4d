"""The app as Django sees it."""

from django.apps import AppConfig
from django.utils.module_loading import autodiscover_modules


class CommandLogConfig(AppConfig):
    """Finds what the areas declare: their commands, and the rows that sync. Says what the evidence
    chain stands for."""

    name = "heelwright.commandlog"
    label = "commandlog"

    def ready(self) -> None:
        autodiscover_modules("commands", "feed", "witness")
