"""A technician's hands on the phone: what they tap and type, named by the words on the screen.

It knows the screens' words and order, and nothing of the app's inside.
"""

import re
from collections.abc import Callable, Mapping
from typing import Any

from playwright.sync_api import Locator, Page, expect

from heelwright.rulebook import book_for
from heelwright.rulebook.schema import Question
from tests.services.phone import Phone
from tests.system.device import PASSWORD
from tests.system.markers import STEM

WORDS = book_for(None).as_json()["words"]["en"]
QUESTION = {
    WORDS[f"question.{question.id}"]: question
    for group in book_for(None).content.groups
    for question in group.questions
}
TOUCH = re.compile(r"(Right|Left) foot, tip of the ")
PASSPHRASE = f"{STEM} quiet herons"
PIN = "48213"
PAPER = "**/api/documents/**"
KEPT = """() => new Promise((kept) => {
  const { serviceWorker } = navigator;
  if (serviceWorker.controller !== null) kept();
  else serviceWorker.addEventListener("controllerchange", () => kept());
})"""


def question_of(legend: str) -> Question | None:
    """A number's label has its unit in brackets."""
    return QUESTION.get(legend) or QUESTION.get(legend.rpartition(" (")[0])


def shown(label: str) -> str:
    """The code of a label as the screens write it, so that it is never broken at its hyphen."""
    return label.replace("-", "\u2011")


class Hands:
    """One person at one phone. The phone may be shut and opened in between."""

    def __init__(self, phone: Phone) -> None:
        self.phone = phone

    @property
    def page(self) -> Page:
        return self.phone.page

    def sign_in(self, email: str) -> None:
        """For the first time, until the app is kept for use without a network."""
        self.page.goto("/")
        self.type("E-mail", email)
        self.type("Password", PASSWORD)
        self.tap("Sign in")
        self.type("Passphrase", PASSPHRASE)
        self.type("The same again", PASSPHRASE)
        self.tap("Use this passphrase")
        self.sees_heading("Today")
        self.page.evaluate(KEPT)

    def unlock(self) -> None:
        self.type("Passphrase", PASSPHRASE)
        self.tap("Unlock")
        expect(self.page.get_by_role("button", name="Lock")).to_be_visible()

    def fetch(self) -> None:
        """Asks for what others have done meanwhile."""
        self.page.goto("/#/sync")
        self.tap("Sync now")

    def choose_pin(self) -> None:
        self.page.get_by_text("A short PIN for today").click()
        self.type("PIN, 4 to 6 digits", PIN)
        self.tap("Use this PIN")

    def take_back(self) -> None:
        """The phone comes back from the client; only the technician can open it again."""
        self.tap("I am the technician")
        self.type("PIN", PIN)
        self.tap("Open")

    def may_decide(self) -> None:
        """The technician finds that the client can decide for themselves."""
        for asked in ("understand what", "keep it in mind", "weigh what", "say what they want"):
            self.choose("Yes", self.page.get_by_role("group", name=re.compile(asked)))

    def tap(self, name: str) -> None:
        self.page.get_by_role("button", name=name, exact=True).or_(
            self.page.get_by_role("link", name=name, exact=True)
        ).first.click()

    def type(self, label: str, words: str) -> None:
        self.page.get_by_label(label, exact=True).fill(words)

    def choose(self, label: str, where: Locator | None = None) -> None:
        place = where or self.page.get_by_role("main")
        place.get_by_label(label, exact=True).first.check()

    def choose_in(self, legend: str, label: str) -> None:
        self.choose(label, self.page.get_by_role("group", name=legend, exact=True))

    def unfold(self, word: str) -> None:
        """Opens what is not shown at first, or shuts it again."""
        self.page.locator("summary").filter(has_text=word).click()

    def opens_paper(self, name: str, press: Callable[[str], None] | None = None) -> None:
        """The server's PDF, in a tab of its own."""
        page = self.page
        with page.context.expect_page() as tab, page.expect_response(PAPER) as sent:
            (press or self.tap)(name)
        assert sent.value.headers["content-type"] == "application/pdf"
        tab.value.close()

    def sees(self, words: str) -> None:
        expect(self.page.get_by_text(words).first).to_be_visible()

    def sees_heading(self, words: str) -> None:
        expect(self.page.get_by_role("heading", name=words, exact=True).first).to_be_visible()

    def open_client(self, name: str) -> None:
        self.page.goto("/#/today")
        self.page.get_by_role("main").get_by_role("link").filter(has_text=name).click()
        self.sees_heading(name)

    def step_on(self, name: str) -> None:
        """One step of the visit's path on the client's card."""
        self.page.get_by_role("main").get_by_role("link").filter(has_text=name).first.click()

    def answer_all(
        self,
        answers: Mapping[str, Any],
        end: str,
        look: Callable[[str], None] | None = None,
        first: Callable[[], None] | None = None,
    ) -> set[str]:
        """Goes through the screens of questions until the one with `end` on it; says what it was
        asked. `first` is done on each before it is answered, `look` when it is."""
        asked: set[str] = set()
        last = self.page.get_by_text(end, exact=True)
        for _ in range(40):
            onward = self.page.get_by_role("button", name="Next", exact=True)
            expect(onward.or_(last).first).to_be_visible()
            if last.count():
                return asked
            if first:
                first()
            asked |= self.answer_screen(answers)
            before = self.page.get_by_role("heading", level=1).inner_text()
            if look:
                look(re.sub(r"\W+", "-", before.lower()))
            self.tap("Next")
            heading = self.page.get_by_role("heading", level=1)
            expect(heading).not_to_have_text(before, timeout=10_000)
        raise AssertionError(f"never came to {end!r}")

    def answer_screen(self, answers: Mapping[str, Any]) -> set[str]:
        """An answer may bring up a further question on the same screen."""
        done: set[str] = set()
        while True:
            legends = self.page.locator("main fieldset > legend").all_inner_texts()
            legends += self.page.locator("main .field > label").all_inner_texts()
            waiting = [legend for legend in legends if legend not in done]
            if not waiting:
                return {question.id for legend in done if (question := question_of(legend))}
            self._answer(waiting[0], answers)
            done.add(waiting[0])

    def _answer(self, legend: str, answers: Mapping[str, Any]) -> None:
        if TOUCH.match(legend):
            self.choose_in(legend, "Felt")
            return
        question = question_of(legend)
        if question is None:
            return
        answer = answers[question.id]
        if question.kind == "number":
            self.page.get_by_label(legend, exact=True).fill(str(answer))
        elif isinstance(answer, bool):
            self.choose_in(legend, "Yes" if answer else "No")
        else:
            self.choose_in(legend, WORDS[f"choice.{question.id}.{answer}"])

    def books(self) -> None:
        """What is booked for an hour of today may have gone by, and is then asked about."""
        expect(self.page.get_by_role("button", name="Book", exact=True)).to_be_visible()
        meant = self.page.get_by_label("Yes, I mean this time", exact=True)
        if meant.count():
            meant.check()
        self.tap("Book")

    def draw(self, box: Locator) -> None:
        """A line with a finger that goes up and down."""
        box.scroll_into_view_if_needed()
        area = box.bounding_box()
        assert area is not None
        mouse = self.page.mouse
        mouse.move(area["x"] + 20, area["y"] + 30)
        mouse.down()
        for step in range(1, 12):
            mouse.move(area["x"] + 20 + step * 15, area["y"] + 30 + (step % 3) * 20, steps=3)
        mouse.up()

    def waits_until_sent(self) -> None:
        """Until the strip on top says that the server has everything."""
        strip = self.page.get_by_role("link", name=re.compile("^Sync: All sent"))
        expect(strip).to_be_visible(timeout=60_000)
