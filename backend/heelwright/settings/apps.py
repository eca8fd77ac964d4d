"""The app as Django sees it."""

from django.apps import AppConfig


class SettingsConfig(AppConfig):
    """Holds the management commands of the whole: serve, work, demo, export_wire."""

    name = "heelwright.settings"
    label = "settings"

    def ready(self) -> None:
        """Whoever asks for a task puts it into this queue."""
        from heelwright.settings import celery  # noqa: F401 - it reads the settings
