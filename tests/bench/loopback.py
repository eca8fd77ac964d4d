"""The peers' pages and servers: bundled by Vite, served by Node on loopback, in memory."""

import shutil
import subprocess
from pathlib import Path
from types import TracebackType
from typing import Self

from tests.services.served import ROOT

PEERS = ROOT / "tests" / "bench" / "peers"
PAGES = ROOT / "var" / "bench" / "pages"


def node() -> str:
    found = shutil.which("node")
    assert found, "no Node in the path: run `make setup`"
    return found


def bundle() -> None:
    """Builds every peer's page from the sources as they are now."""
    assert (PEERS / "node_modules").is_dir(), "the peers are not installed: run `make bench`"
    subprocess.run([node(), str(PEERS / "bundle.mjs"), str(PAGES)], check=True)


class Loopback:
    """One peer's server, as fresh as its process: `with Loopback("rxdb", recorded) as server`."""

    def __init__(self, side: str, recorded: Path) -> None:
        self._command = [node(), "--no-warnings", str(PEERS / "loopback.mjs")]
        self._command += [side, str(recorded), str(PAGES)]
        self.base_url = ""

    def __enter__(self) -> Self:
        self._process = subprocess.Popen(self._command, stdout=subprocess.PIPE, text=True)
        assert self._process.stdout is not None
        port = self._process.stdout.readline().strip()
        assert port.isdigit(), "the loopback server did not start"
        self.base_url = f"http://localhost:{port}"
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self._process.kill()
        self._process.wait()
