"""Surface speed of a turning head: how fast its widest rim passes over the skin.

Answers for the arithmetic only, v = pi d n. It knows no limit: no published safe surface speed
for skin or nail was found. The twin is speed.ts; both run tests/parity/speed.json.
"""

import math

MM_PER_MIN_IN_M_PER_S = 60_000


def surface_speed_m_s(head_mm: float, rpm: float) -> float:
    """`head_mm` is the largest diameter of the head, also of a cone or a flame."""
    _positive(head_mm, rpm)
    return math.pi * head_mm * rpm / MM_PER_MIN_IN_M_PER_S


def rpm_for(speed_m_s: float, head_mm: float) -> float:
    """The turns a minute at which this head reaches this speed."""
    _positive(speed_m_s, head_mm)
    return speed_m_s * MM_PER_MIN_IN_M_PER_S / (math.pi * head_mm)


def _positive(*values: float) -> None:
    if not all(math.isfinite(value) and value > 0 for value in values):
        raise ValueError("diameter, turns and speed must be more than 0")
