"""Declares the papers of money."""

from heelwright.takings import log  # noqa: F401
