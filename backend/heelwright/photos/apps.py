"""The app as Django sees it."""

from django.apps import AppConfig


class PhotosConfig(AppConfig):
    name = "heelwright.photos"
    label = "photos"
