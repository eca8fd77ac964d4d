"""Declares the commands of the kit, each beside what it is about."""

from heelwright.kit import cycles, records, steps, things  # noqa: F401
