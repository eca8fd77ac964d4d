"""Declares the papers of money."""

from heelwright.takings import log, receipt  # noqa: F401
