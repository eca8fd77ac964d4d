"""Every kind of incident that the server raises has words on the phone. Check: our own rule."""

import re
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
RAISED = (
    r'raise_incident\(\s*"([a-z_]+)"',
    r'doubts\["([a-z_]+)"\]',
    r'return {"([a-z_]+)": reasons}',
    r'return "(clock_[a-z_]+)"',
)


def raised() -> set[str]:
    sources = [path.read_text() for path in (ROOT / "backend" / "heelwright").rglob("*.py")]
    return {code for text in sources for shape in RAISED for code in re.findall(shape, text)}


def test_each_incident_has_its_words() -> None:
    words = (ROOT / "pwa" / "src" / "words" / "en.ts").read_text()
    codes = raised()
    assert {
        "visit_of_held_client",
        "entered_in_error",
        "clock_ahead",
        "start_not_vouched_for",
    } <= codes
    assert sorted(code for code in codes if f'"incident.code.{code}"' not in words) == []
