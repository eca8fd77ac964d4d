"""The app as Django sees it."""

from django.apps import AppConfig


class LoneWorkConfig(AppConfig):
    name = "heelwright.lone_work"
    label = "lone_work"
