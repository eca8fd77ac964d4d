"""Somebody who has no pointer: every control is come to by Tab, and worked by its keys.

At each stop the focus must be seen: an outline around it, and nothing that lies over it (WCAG 2.2,
2.4.7 and 2.4.11). After each press something must have it.
"""

from typing import Any

from playwright.sync_api import Page

MOST_STOPS = 160
FOCUS = """() => {
  const at = document.activeElement;
  if (!at || at === document.body) return null;
  const labels = [...(at.labels ?? [])].map((label) => label.innerText).join(" ");
  const named = at.getAttribute("aria-label") ?? (labels || at.innerText);
  return { name: named.replace(/\\s+/g, " ").trim(), radio: at.type === "radio" };
}"""
SEEN = """() => {
  const at = document.activeElement;
  const mark = at.closest(".option") ?? at;
  const { outlineStyle, outlineWidth } = getComputedStyle(mark);
  const box = mark.getBoundingClientRect();
  const over = document.elementFromPoint(box.x + box.width / 2, box.y + box.height / 2);
  return outlineStyle !== "none" && parseFloat(outlineWidth) >= 2 && mark.contains(over);
}"""
HELD = "() => document.activeElement && document.activeElement !== document.body"


class Keyboard:
    def __init__(self, page: Page) -> None:
        self.page = page
        self._seen: set[str] = set()
        self._hidden: set[str] = set()

    @property
    def unseen(self) -> set[str]:
        """A field for a day has several stops of its own, of which the browser marks the last in
        its own way."""
        return self._hidden - self._seen

    def to(self, name: str) -> None:
        """By Tab, and inside a group of radio buttons by the arrow, which also chooses."""
        passed = []
        for _ in range(MOST_STOPS):
            self.page.keyboard.press("Tab")
            at = self._focus()
            if at is None:
                continue
            passed.append(at["name"])
            if at["radio"] and at["name"] != name:
                at = self._along(at["name"], name)
            if at["name"] == name:
                return
        raise AssertionError(f"no way by Tab to {name!r}; passed {sorted(set(passed))}")

    def press(self, name: str, key: str = "Enter") -> None:
        self.to(name)
        self.key(key)

    def key(self, key: str) -> None:
        self.page.keyboard.press(key)
        self.page.wait_for_function(HELD, timeout=10_000)

    def type(self, label: str, keys: str) -> None:
        self.to(label)
        self.page.keyboard.press("ControlOrMeta+a")
        self.page.keyboard.type(keys)

    def _along(self, first: str, name: str) -> dict[str, Any]:
        while True:
            self.page.keyboard.press("ArrowDown")
            at = self._focus()
            assert at is not None
            if at["name"] in (first, name):
                return at

    def _focus(self) -> dict[str, Any] | None:
        at: dict[str, Any] | None = self.page.evaluate(FOCUS)
        if at is not None:
            (self._seen if self.page.evaluate(SEEN) else self._hidden).add(at["name"])
        return at
