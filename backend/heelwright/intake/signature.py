"""Draws a signature from its strokes as SVG: the same picture for the same strokes. Pure."""

from collections.abc import Mapping, Sequence

MARGIN = 4.0
PEN = 2.5
Stroke = Sequence[Mapping[str, float]]


def picture(strokes: Sequence[Stroke]) -> str:
    """An SVG in the pixels of the pad; a tap is a dot. Empty where nothing was drawn."""
    points = [point for stroke in strokes for point in stroke]
    if not points:
        return ""
    left, top = (min(point[axis] for point in points) - MARGIN for axis in ("x", "y"))
    right, bottom = (max(point[axis] for point in points) + MARGIN for axis in ("x", "y"))
    box = f"0 0 {_number(right - left)} {_number(bottom - top)}"
    path = "".join(_line(stroke, left, top) for stroke in strokes if stroke)
    pen = f'stroke="#000" stroke-width="{PEN}" stroke-linecap="round" stroke-linejoin="round"'
    svg = f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="{box}">'
    return f'{svg}<path d="{path}" fill="none" {pen}/></svg>'


def _line(stroke: Stroke, left: float, top: float) -> str:
    (x, y), *rest = ((_number(point["x"] - left), _number(point["y"] - top)) for point in stroke)
    # A line without length has no round ends everywhere; one of a hundredth of a pixel has.
    lines = [f"L{x} {y}" for x, y in rest] or ["h.01"]
    return "".join([f"M{x} {y}", *lines])


def _number(value: float) -> str:
    return f"{value:.1f}"
