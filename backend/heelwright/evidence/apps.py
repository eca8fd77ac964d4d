"""The evidence app. It starts nothing."""

from django.apps import AppConfig


class EvidenceConfig(AppConfig):
    name = "heelwright.evidence"
    label = "evidence"
