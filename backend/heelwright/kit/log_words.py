"""The English of the log of the kit, for whoever inspects it."""

from collections.abc import Iterable

STEPS = {
    "use": "Used on a client",
    "soil": "Put into the dirty box",
    "wash": "Washed",
    "pack": "Dried and packed",
    "take_out": "Taken along",
    "put_back": "Put back unused",
    "reject": "Put aside as unfit",
    "lose": "Lost",
    "retire": "Out of use for good",
    "bring_back": "Back in use, to be washed",
}
OUTCOMES = {"complete": "Complete", "running": "No end on record", "again": "Does not count"}
REASONS = {
    "interrupted": "interrupted",
    "time_not_read": "time not read",
    "too_short": "too short",
    "heat_not_read": "temperature not read",
    "too_cool": "not hot enough",
    "indicator_failed": "indicator failed",
    "indicator_not_read": "indicator not read",
    "process_unknown": "process not known",
    "pulled_back": "a check of the machine failed",
    "machine_unknown": "machine not known",
    "wrong_machine": "not a process of this machine",
    "product_out_of_date": "disinfectant out of date",
    "product_for_surfaces": "disinfectant for surfaces",
    "solution_unknown": "solution not known",
    "solution_mixed_later": "solution mixed later",
    "solution_out_of_date": "solution out of date",
    "solution_too_weak": "solution too weak",
}
INDICATORS = {
    "passed": "indicator passed",
    "failed": "indicator failed",
    "not_read": "indicator not read",
}
FOUND = {"done": "done", "not_done": "not done", "not_needed": "not needed"}
OCCASIONS = {
    "before_leaving": "Before leaving",
    "on_arrival": "On arrival",
    "between_clients": "Between clients",
    "on_leaving": "On leaving",
    "end_of_day": "End of the day",
    "weekly": "Every week",
}


def reasons(codes: Iterable[str]) -> str:
    return ", ".join(REASONS.get(code, code) for code in codes)


def number(value: float) -> str:
    """Without a fraction that says nothing."""
    return f"{value:g}"
