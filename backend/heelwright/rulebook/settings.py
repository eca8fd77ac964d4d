"""What an overlay may do to the settings of a book: each has one way that is tighter."""

from typing import Any

from heelwright.rulebook.errors import BookError

# A number may fall, these may rise, and what asks more of the technician may be turned on.
RISES = {
    "urea_minutes_min",
    "need_stays_hours",
    "hand_rub_seconds",
    "hand_wash_seconds",
    "spare_percent",
    "soak_ml_per_set",
}
TURNS_ON = {"technician_checks_pulses"}


def tightened(base: dict[str, Any], own: dict[str, Any], file: str) -> dict[str, Any]:
    for key, value in own.items():
        if key not in base:
            raise _fault(file, key, "there is no such setting", f"Use these: {', '.join(base)}.")
        if key in TURNS_ON:
            _check_turned_on(file, key, value)
        elif isinstance(value, bool) or not isinstance(value, int | float):
            raise _fault(file, key, "is not a number", "Write it in digits.")
        elif value < base[key] if key in RISES else value > base[key]:
            says = f"{value} is looser than {base[key]}; an overlay may tighten and never loosen"
            raise _fault(file, key, says, "Leave it out, or make it stricter.")
    return base | own


def _check_turned_on(file: str, key: str, value: Any) -> None:
    if value is not True:
        raise _fault(file, key, "may be turned on and not off", "Write true, or leave it out.")


def _fault(file: str, key: str, text: str, remedy: str) -> BookError:
    return BookError(file, f"settings.{key[:60]}", text, remedy)
