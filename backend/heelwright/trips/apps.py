"""The app as Django sees it."""

from django.apps import AppConfig


class TripsConfig(AppConfig):
    name = "heelwright.trips"
    label = "trips"
