"""What a cycle must reach. The twin is domain/kit/asked.ts; both run tests/parity/kit.json."""

from collections.abc import Mapping

from heelwright.kit.rules.loads import Asked
from heelwright.rulebook.kit_entries import Process
from heelwright.rulebook.schema import Settings


def asked_of_machine(
    settings: Settings, process: Process, maker_minutes: Mapping[str, float]
) -> Asked:
    """By the book; the maker's time for the process counts where it is longer."""
    wrapped = process.wrapped
    days = settings.storage_days_wrapped if wrapped else settings.storage_days_unwrapped
    minutes = max(process.minutes, maker_minutes.get(process.id, 0))
    return Asked(process.level, minutes, process.celsius, process.indicator, days)


def asked_of_product(settings: Settings, contact_minutes: float) -> Asked:
    """By the product's label."""
    return Asked("disinfect", contact_minutes, None, False, settings.storage_days_unwrapped)
