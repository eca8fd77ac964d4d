"""The app as Django sees it."""

from django.apps import AppConfig


class PeopleConfig(AppConfig):
    name = "heelwright.people"
    label = "people"
