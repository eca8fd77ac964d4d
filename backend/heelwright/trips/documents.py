"""Declares the papers of travel."""

from heelwright.trips import log  # noqa: F401
