"""Every kind of incident that the server raises has words of its own on the phone: what it is, and
what the owner may do about it. Check: our own rule."""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

from heelwright.photos.rules import OF_THE_BODY

ROOT = Path(__file__).resolve().parents[2]
PHONE = ROOT / "pwa" / "src"
RAISING = {"raise_incident", "_tell", "_tell_of_own"}
# It has a screen of its own, which asks for a decision.
DECIDED = {"client_entered_twice"}
# Raised by a code that another function has found.
RETURNED = (
    r'doubts\["([a-z_]+)"\]',
    r'return {"([a-z_]+)": reasons}',
    r'"(clock_[a-z_]+)"',
)


def sources() -> list[str]:
    return [path.read_text() for path in (ROOT / "backend" / "heelwright").rglob("*.py")]


def given(source: str) -> Iterator[str]:
    """Codes that are written out where an incident is raised, by whatever function."""
    for call in ast.walk(ast.parse(source)):
        if isinstance(call, ast.Call) and call.args:
            name = getattr(call.func, "attr", getattr(call.func, "id", ""))
            if name in RAISING:
                yield from (
                    arg.value
                    for arg in call.args[:2]
                    if isinstance(arg, ast.Constant) and isinstance(arg.value, str)
                )


def raised() -> set[str]:
    codes = {code for text in sources() for code in given(text)}
    for text in sources():
        codes |= {code for shape in RETURNED for code in re.findall(shape, text)}
    return codes


def missing(codes: set[str], shape: str, file: Path) -> list[str]:
    words = file.read_text()
    return sorted(code for code in codes if shape.format(code) not in words)


def test_what_is_raised_is_found() -> None:
    """One of each way in which the server names a code."""
    ways = {
        "photo_without_consent",
        "screens_disagree",
        "from_revoked_device",
        "visit_of_held_client",
        "start_not_vouched_for",
        "clock_ahead",
    }
    assert ways <= raised()


def test_each_incident_says_what_it_is() -> None:
    assert missing(raised(), '"incident.code.{}"', PHONE / "words" / "en.ts") == []


def test_each_incident_says_what_may_be_done() -> None:
    """In words of its own: the general ones are for codes of a later server."""
    codes = raised() - DECIDED
    assert missing(codes, "\n  {}: ", PHONE / "routes" / "attention" / "incidents.ts") == []


def test_a_flagged_photo_says_of_what_it_is() -> None:
    assert missing(set(OF_THE_BODY), '"reason.{}"', PHONE / "words" / "en.ts") == []
