"""The app as Django sees it."""

from django.apps import AppConfig


class TenancyConfig(AppConfig):
    name = "heelwright.tenancy"
    label = "tenancy"
