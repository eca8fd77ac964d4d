"""The app as Django sees it."""

from django.apps import AppConfig


class SyncConfig(AppConfig):
    name = "heelwright.sync"
    label = "sync"
