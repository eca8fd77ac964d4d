"""The app as Django sees it."""

from django.apps import AppConfig


class PlanningConfig(AppConfig):
    name = "heelwright.planning"
    label = "planning"
