"""Looks the locked packages up in the advisory databases of Python and npm.

Both databases need the network. Where one does not answer, or answers without knowing the packages,
the look-up is reported as skipped, in words, and never as clean. With --only-report a finding is
printed and does not fail: a new advisory must not turn an unchanged commit red. `make audit` fails
on a finding.
"""

import json
import subprocess
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
SECONDS = 60


@dataclass(frozen=True)
class Audit:
    looked_up: int
    findings: tuple[str, ...]


def read_pip_audit(output: str) -> Audit | None:
    try:
        entries = json.loads(output)["dependencies"]
    except (ValueError, KeyError):
        return None
    known = [entry for entry in entries if "skip_reason" not in entry]
    found = (
        f"{entry['name']} {entry['version']}: {advisory['id']}"
        for entry in known
        for advisory in entry["vulns"]
    )
    return Audit(len(known), tuple(found))


def read_npm_audit(output: str) -> Audit | None:
    try:
        report = json.loads(output)
        advisories, counts = report["vulnerabilities"], report["metadata"]["dependencies"]
    except (ValueError, KeyError):
        return None
    found = (f"{name}: {entry['severity']}" for name, entry in advisories.items())
    return Audit(counts["total"], tuple(found))


def run(command: list[str], folder: Path) -> str:
    try:
        done = subprocess.run(
            command, cwd=folder, capture_output=True, text=True, timeout=SECONDS, check=False
        )
    except (subprocess.TimeoutExpired, FileNotFoundError):
        return ""
    return done.stdout


def summary(which: str, audit: Audit | None) -> str:
    if audit is None:
        return f"audit: {which}: SKIPPED, the advisory database cannot be reached from here"
    if not audit.looked_up:
        return f"audit: {which}: SKIPPED, the index reached from here answers for no package"
    head = f"audit: {which}: {audit.looked_up} looked up, {len(audit.findings)} with advisories"
    return "\n".join([head, *(f"audit:   {finding}" for finding in audit.findings)])


PIP_AUDIT = [
    *(sys.executable, "-m", "pip_audit", "--disable-pip", "--require-hashes"),
    *("-r", "requirements.txt", "--format", "json", "--timeout", "10", "--progress-spinner", "off"),
]

AUDITS: tuple[tuple[str, list[str], Path, Callable[[str], Audit | None]], ...] = (
    ("Python", PIP_AUDIT, ROOT, read_pip_audit),
    ("npm", ["npm", "audit", "--json", "--fetch-retries=0"], ROOT / "pwa", read_npm_audit),
)


def main(arguments: list[str]) -> int:
    findings = 0
    for which, command, folder, read in AUDITS:
        audit = read(run(command, folder))
        print(summary(which, audit))
        findings += len(audit.findings) if audit else 0
    return 1 if findings and "--only-report" not in arguments else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
