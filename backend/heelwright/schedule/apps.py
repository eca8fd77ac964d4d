"""The app as Django sees it."""

from django.apps import AppConfig


class ScheduleConfig(AppConfig):
    name = "heelwright.schedule"
    label = "schedule"
