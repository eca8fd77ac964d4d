"""The app as Django sees it."""

from django.apps import AppConfig


class SettingsConfig(AppConfig):
    """Holds the management commands of the whole: serve, demo, export_wire."""

    name = "heelwright.settings"
    label = "settings"
