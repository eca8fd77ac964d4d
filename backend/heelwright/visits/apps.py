"""The app as Django sees it."""

from django.apps import AppConfig


class VisitsConfig(AppConfig):
    name = "heelwright.visits"
    label = "visits"
