"""Declares the papers of money."""

from heelwright.takings import invoice, log, receipt  # noqa: F401
