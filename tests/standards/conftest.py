"""Says at the end how many rows of how many published tables were held against the book."""

import pytest

from tests.standards.tables import summary


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    terminalreporter.write_line(f"{summary()}; python -m tests.standards.tables lists them")
