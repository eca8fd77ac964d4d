"""Draws findings on the foot map of the letter, as SVG. Knows no database.

The geometry is the phone's own, written into `foot_map.json` by its tests; lengths are in units of
that drawing.
"""

import json
from collections.abc import Iterator, Mapping, Sequence
from html import escape
from pathlib import Path
from typing import Any

MAP: Mapping[str, Any] = json.loads((Path(__file__).parent / "foot_map.json").read_text())
WIDTH, HEIGHT = MAP["box"]["width"], MAP["box"]["height"]
# How far apart two marks at one place stand.
STEP = 26
SIDES = [("right", "sole"), ("left", "sole"), ("right", "top"), ("left", "top")]


def letter_of(index: int) -> str:
    """A, B … Z, then A2, B2 …"""
    turn, place = divmod(index, 26)
    return chr(65 + place) + (str(turn + 1) if turn else "")


def drawings(findings: Sequence[Mapping[str, Any]]) -> list[dict[str, str]]:
    """One drawing for each side of a foot that has a finding: its name, and the SVG."""
    return [
        {"name": f"{foot.capitalize()} foot, {view}", "svg": _drawing(foot, view, findings)}
        for foot, view in SIDES
        if any((f["foot"], f["view"]) == (foot, view) for f in findings)
    ]


def _drawing(foot: str, view: str, findings: Sequence[Mapping[str, Any]]) -> str:
    flip_x, flip_y = foot == "left", view == "top"
    turned = (
        f"translate({WIDTH if flip_x else 0} {HEIGHT if flip_y else 0}) "
        f"scale({-1 if flip_x else 1} {-1 if flip_y else 1})"
    )
    return "".join(
        [
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="-6 -6 {WIDTH + 12} {HEIGHT + 12}">',
            f'<clipPath id="foot"><path d="{MAP["outline"]}"/></clipPath>',
            f'<g transform="{turned}" fill="white" stroke="#777" stroke-width="1.5">',
            f'<path d="{MAP["outline"]}"/>',
            *(_region(shape) for shape in MAP["regions"][view]),
            *(f'<path d="{d}"/>' for d in (MAP["nails"] if flip_y else [])),
            f'<path d="{MAP["outline"]}" fill="none" stroke="black" stroke-width="2.5"/></g>',
            *_marks(foot, view, findings),
            "</svg>",
        ]
    )


def _region(shape: Mapping[str, Any]) -> str:
    clip = "" if shape.get("free") else ' clip-path="url(#foot)"'
    return f'<path d="{shape["d"]}"{clip}/>'


def _marks(foot: str, view: str, findings: Sequence[Mapping[str, Any]]) -> Iterator[str]:
    at = {shape["id"]: shape["at"] for shape in MAP["regions"][view]}
    taken: dict[str, int] = {}
    for index, finding in enumerate(findings):
        if (finding["foot"], finding["view"]) != (foot, view):
            continue
        x, y = at.get(finding["region"], (WIDTH / 2, HEIGHT / 2))
        x += STEP * taken.get(finding["region"], 0)
        taken[finding["region"]] = taken.get(finding["region"], 0) + 1
        x, y = WIDTH - x if foot == "left" else x, HEIGHT - y if view == "top" else y
        yield (
            f'<circle cx="{x}" cy="{y}" r="24" fill="black"/>'
            f'<text x="{x}" y="{y + 10}" text-anchor="middle" fill="white" font-size="30" '
            f'font-family="Libertinus Serif" font-weight="bold">{escape(letter_of(index))}</text>'
        )
