"""A test that waits for a page which answers nothing comes to an end. Check: our own rule."""

import pytest
from playwright.sync_api import BrowserContext

from tests.services.hung import BrowserHung, browsers_answer

RUNS_FOR_EVER = "() => { for (;;); }"


def test_a_page_that_never_answers_is_ended(browser_context: BrowserContext) -> None:
    page = browser_context.new_page()
    with pytest.raises(BrowserHung), browsers_answer(2):
        page.evaluate(RUNS_FOR_EVER)


def test_another_failure_keeps_its_name() -> None:
    with pytest.raises(ValueError, match="another"), browsers_answer(60):
        raise ValueError("another")
