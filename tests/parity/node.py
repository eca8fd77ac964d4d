"""Runs the phone's built code, as a browser does under a content security policy without
'unsafe-eval'."""

import shutil
import subprocess
from pathlib import Path

from tests.parity.vectors import HERE

PWA = HERE.parents[1] / "pwa"
NO_EVAL = "--disallow-code-generation-from-strings"


def node(script: Path, *arguments: str | Path, may_eval: bool = False) -> None:
    program = shutil.which("node")
    assert program, "Node is needed; `make setup` brings it"
    flags = [] if may_eval else [NO_EVAL]
    subprocess.run([program, *flags, script, *arguments], check=True, cwd=PWA)


def built(entry: str, folder: Path) -> Path:
    """The module with this source, and all that it imports, as it is shipped."""
    out = folder / "built.mjs"
    node(HERE / "bundle.mjs", PWA, entry, out, may_eval=True)
    return out
