"""The phones' program, built from the sources as they are."""

import subprocess
from pathlib import Path

HERE = Path(__file__).resolve().parent
PWA = HERE.parents[1] / "pwa"


def built(folder: Path, bug: str = "") -> Path:
    """Builds into a folder, with a planted bug of the phone if one is named."""
    command = ["node", str(HERE / "bundle.mjs"), str(PWA), str(folder), bug]
    subprocess.run(command, check=True, cwd=PWA)
    return folder / "main.mjs"
