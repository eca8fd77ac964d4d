"""Pure decisions about a visit's record: whether it stayed inside the limits. No Django."""

from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime
from typing import Any

from heelwright.rulebook.speed import surface_speed_m_s


def breaches(
    limits: Mapping[str, Any], bits: Mapping[str, Mapping[str, Any]], record: Mapping[str, Any]
) -> list[str]:
    """Codes of the limits that a record goes past; empty when it stayed inside.

    `limits` is the merged limits of the judgement, `bits` the book's bit families by id, `record`
    the arguments of `complete_visit` as JSON.
    """
    return [
        *_bits(limits, bits, record["bits"]),
        *_finish(bits, record["bits"]),
        *_softeners(limits, record["softeners"]),
        *_cracks(limits, record.get("cracks", [])),
    ]


def _bits(
    limits: Mapping[str, Any],
    bits: Mapping[str, Mapping[str, Any]],
    used: Sequence[Mapping[str, Any]],
) -> list[str]:
    allowed = limits["bits_allowed"]
    found = []
    for use in used:
        family = use["family"]
        if family not in bits or (allowed is not None and family not in allowed):
            found.append("bit_not_allowed")
        if _too_fast(limits, use):
            found.append("too_fast")
        pointed = bits.get(family, {}).get("pointed", False)
        if "crack" in use["places"] and (pointed or limits["no_bit_in_crack"]):
            found.append("bit_in_crack")
        if _left_alone(limits, use["places"]):
            found.append("area_to_leave_alone")
    return found


def _left_alone(limits: Mapping[str, Any], places: Iterable[str]) -> bool:
    """A place on a foot begins with the foot's side. One that names no foot, such as a crack, tells
    nothing of a foot that is left alone as a whole."""
    alone = set(limits["leave_alone"])
    return any(place in alone or f"{place.split('_')[0]}_foot" in alone for place in places)


def _too_fast(limits: Mapping[str, Any], use: Mapping[str, Any]) -> bool:
    most_rpm, most_speed = limits["max_rpm"].get(use["family"]), limits["top_speed_m_s"]
    if most_rpm is not None and use["rpm"] > most_rpm:
        return True
    if most_speed is None or use["rpm"] == 0:
        return False
    return surface_speed_m_s(use["head_mm"], use["rpm"]) > float(most_speed)


def _finish(bits: Mapping[str, Mapping[str, Any]], used: Sequence[Mapping[str, Any]]) -> list[str]:
    """After any cutting bit the surface is finished with an abrasive one. Common practice, no
    source."""
    families = [use["family"] for use in used]
    cutting = [i for i, family in enumerate(families) if bits.get(family, {}).get("cutting")]
    if not cutting:
        return []
    finish = set(bits[families[cutting[-1]]].get("finish_with", []))
    return [] if finish & set(families[cutting[-1] + 1 :]) else ["not_finished_smooth"]


def _softeners(limits: Mapping[str, Any], used: Sequence[Mapping[str, Any]]) -> list[str]:
    if not used:
        return []
    if limits["softener"] == "none":
        return ["softener_not_allowed"]
    found = []
    strongest = limits["softener_max_percent"]
    longest = limits["softener_max_minutes"]
    for use in used:
        if strongest is not None and use["urea_percent"] > strongest:
            found.append("softener_too_strong")
        if _left_alone(limits, use["places"]):
            found.append("area_to_leave_alone")
        if longest is not None and minutes_on(use) is None:
            found.append("softener_not_taken_off")
        elif longest is not None and (minutes_on(use) or 0) > longest:
            found.append("softener_too_long")
    return found


def _cracks(limits: Mapping[str, Any], measured: Sequence[Mapping[str, Any]]) -> list[str]:
    """A crack that was measured again after the work was worked on."""
    after = (
        c["foot"] for c in measured if (c["length_after_mm"], c["depth_after_mm"]) != (None, None)
    )
    return ["area_to_leave_alone"] if _left_alone(limits, after) else []


def minutes_on(use: Mapping[str, Any]) -> float | None:
    """How long a softener stayed on, in minutes; None where nobody can tell when it came off."""
    if use["removed_at"] is None:
        return None
    placed = datetime.fromisoformat(use["placed_at"])
    removed = datetime.fromisoformat(use["removed_at"])
    return (removed - placed).total_seconds() / 60 if removed >= placed else None
