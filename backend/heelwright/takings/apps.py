"""The app as Django sees it."""

from django.apps import AppConfig


class TakingsConfig(AppConfig):
    name = "heelwright.takings"
    label = "takings"
