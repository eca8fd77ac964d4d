"""The app as Django sees it."""

from django.apps import AppConfig


class KitConfig(AppConfig):
    name = "heelwright.kit"
    label = "kit"
