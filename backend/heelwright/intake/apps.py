"""The app as Django sees it."""

from django.apps import AppConfig


class IntakeConfig(AppConfig):
    name = "heelwright.intake"
    label = "intake"
