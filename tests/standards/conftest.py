"""Says at the end how many rows of how many published tables were held against the book, and how
plain the texts for clients are."""

import pytest

from tests.standards import reading, tables


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    terminalreporter.write_line(f"{tables.summary()}; python -m tests.standards.tables lists them")
    terminalreporter.write_line(
        f"{reading.summary()}; python -m tests.standards.reading lists them"
    )
