"""axe on every screen, light and dark, at 360x780; with HEELWRIGHT_PICTURES also its picture.

Published: axe-core's rules for WCAG 2.2 level A and AA, and its best practices. The list of screens
is the app's own route table, and what stands before and between them: door, client mode, dialogs.
"""

import os
import re
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

from playwright.sync_api import expect

from heelwright.rulebook import book_for
from tests.services.phone import Phone
from tests.services.served import ROOT, ServedApp
from tests.standards.clients import DIABETIC, WELL
from tests.system.device import PASSWORD
from tests.system.furnished import OWNER, Furnished, furnish
from tests.system.hands import PASSPHRASE, Hands

AXE = (ROOT / "pwa" / "node_modules" / "axe-core" / "axe.min.js").read_text()
ROUTES = ROOT / "pwa" / "src" / "routes" / "index.ts"
PICTURES = os.environ.get("HEELWRIGHT_PICTURES")
RUN = """() => axe.run({ resultTypes: ["violations"] }).then(({ violations, passes }) => ({
  checked: passes.length,
  found: violations.flatMap(({ id, nodes }) =>
    nodes.map(({ target, failureSummary }) => `${id} at ${target}: ${failureSummary}`)),
}))"""


def route_table() -> list[str]:
    return re.findall(r'path: "([^"]+)"', ROUTES.read_text())


def filled(path: str, ids: dict[str, str]) -> str:
    """`kit/machine/:kit_thing/check` with the id of a machine."""
    parts = path.split("/")
    before = ["", *parts]
    return "/".join(
        ids.get(f"{before[at]}/{part[1:]}", ids.get(part[1:], "")) if part.startswith(":") else part
        for at, part in enumerate(parts)
    )


@dataclass
class Looker:
    """Looks at the present screen in both colour schemes."""

    hands: Hands
    seen: list[str] = field(default_factory=list)
    found: list[str] = field(default_factory=list)

    def look(self, name: str) -> None:
        page = self.hands.page
        expect(page.get_by_role("heading", level=1).first).to_be_visible()
        self.seen.append(name)
        for scheme in ("light", "dark"):
            page.emulate_media(color_scheme=scheme, reduced_motion="reduce")
            page.evaluate(AXE)
            result = page.evaluate(RUN)
            assert result["checked"] > 5, "axe did not run"
            self.found += [f"{name}, {scheme}: {fault}" for fault in result["found"]]
            if PICTURES and scheme == "light":
                number = f"{len(self.seen):02}"
                page.screenshot(path=Path(PICTURES) / f"{number}-{name}.png")


def test_no_violation_on_any_screen(
    live_server_process: ServedApp, new_phone: Callable[[str], Phone]
) -> None:
    practice = furnish(live_server_process)
    phone = new_phone("owner")
    phone.open()
    looker = Looker(Hands(phone))
    at_the_door(looker)
    a_refused_booking(looker.hands, practice)
    table = route_table()
    for path in table:
        looker.hands.page.goto(f"/#/{filled(path, practice.ids)}")
        looker.look(path.replace("/", "-").replace(":", ""))
    to_pack_today(looker)
    in_the_clients_hand(looker)
    on_the_foot_map(looker)
    under_way(looker, practice)
    assert len(table) == len(set(table)) >= 20
    put = [{q.id for q in group.questions} & {*DIABETIC} for group in book_for(None).content.groups]
    groups = [questions for questions in put if questions]
    assert len(looker.seen) == len(set(looker.seen)) == len(table) + len(groups) + 22
    assert not looker.found, "\n\n".join(looker.found)


def at_the_door(looker: Looker) -> None:
    hands = looker.hands
    hands.page.goto("/")
    looker.look("door-sign-in")
    hands.type("E-mail", OWNER)
    hands.type("Password", PASSWORD)
    hands.tap("Sign in")
    hands.sees_heading("Choose a passphrase")
    looker.look("door-choose-passphrase")
    hands.type("Passphrase", PASSPHRASE)
    hands.type("The same again", PASSPHRASE)
    hands.tap("Use this passphrase")
    hands.sees_heading("Today")
    hands.page.reload()
    hands.sees_heading("Unlock")
    looker.look("door-unlock")
    hands.unlock()
    hands.choose_pin()
    hands.waits_until_sent()


def a_refused_booking(hands: Hands, practice: Furnished) -> None:
    """Two visits at one time, so that the list of what needs attention has an entry."""
    hands.page.goto(f"/#/client/{practice.done.client}/book")
    hands.type("Day", practice.ready.starts_at.date().isoformat())
    hands.type("Time", "12:10")
    hands.books()
    hands.sees_heading("Una Untrue")
    hands.waits_until_sent()
    hands.page.goto("/#/attention")
    hands.sees("1 entry was refused")
    counted_as_listed(hands)


def counted_as_listed(hands: Hands) -> None:
    """Each heading of the list says how many it has."""
    hands.sees_heading("1 entry was refused")
    headings = hands.page.locator("main h2").all_inner_texts()
    listed = sum(int(found[0]) for each in headings if (found := re.search(r"\d+", each)))
    badge = hands.page.get_by_role("link", name=re.compile("^Attention"))
    assert listed > 1
    expect(badge).to_contain_text(f"{listed} waiting")


def to_pack_today(looker: Looker) -> None:
    """Nobody is visited tomorrow."""
    looker.hands.page.goto("/#/kit/packing")
    looker.hands.page.get_by_role("main").get_by_role("button", name="Today").click()
    looker.hands.sees("1 visit: Ida Invented.")
    looker.look("kit-packing-today")


def in_the_clients_hand(looker: Looker) -> None:
    hands = looker.hands
    hands.open_client("Ida Invented")
    hands.tap("Let the client answer")
    hands.answer_all(DIABETIC, "Thank you", looker.look)
    looker.look("client-mode-thanks")
    hands.tap("I am the technician")
    looker.look("door-cover")
    hands.type("PIN", "48213")
    hands.tap("Open")
    hands.sees_heading("Saying yes or no")
    hands.answer_all(DIABETIC, "Who answered?", looker.look)
    looker.look("health-screen-end")
    consenting(looker)


def consenting(looker: Looker) -> None:
    hands = looker.hands
    hands.page.goto(hands.page.url.replace("/screen", "/consent"))
    hands.sees_heading("Consent")
    hands.choose("Care of the feet")
    hands.may_decide()
    looker.look("consent-can-decide")
    hands.choose("On paper, which I photograph")
    hands.tap("Go on to the paper")
    looker.look("consent-on-paper")
    hands.tap("Back")
    hands.choose("With a finger on the screen")
    hands.tap("Hand the phone over")
    hands.sees("What we will not do.")
    looker.look("client-mode-consent")
    hands.tap("Read it aloud")
    hands.tap("Larger text")
    hands.tap("Español")
    looker.look("client-mode-consent-spanish")
    hands.tap("Sí, estoy de acuerdo")
    hands.tap("No")
    hands.tap("No")
    hands.sees_heading("Sus respuestas")
    looker.look("client-mode-sign")
    hands.tap("No quiero firmar")
    looker.look("client-mode-not-signing")
    # What is changed back leaves the consent standing for the visit that follows.
    hands.tap("Cambiar una respuesta")
    for answer in ("Sí, estoy de acuerdo", "No", "No"):
        hands.tap(answer)
    hands.draw(hands.page.locator("canvas"))
    hands.tap("Firmar")
    hands.tap("I am the technician")
    hands.type("PIN", "48213")
    hands.tap("Open")


def on_the_foot_map(looker: Looker) -> None:
    hands = looker.hands
    hands.open_client("Ida Invented")
    hands.page.goto(f"{hands.page.url}/feet")
    hands.sees_heading("Both feet")
    hands.answer_all(WELL, "What do you see?", looker.look)
    looker.look("foot-map")
    hands.page.get_by_role("button", name=re.compile("^heel, centre")).first.click()
    hands.choose("Crack", hands.page.get_by_role("dialog"))
    looker.look("foot-map-finding")
    hands.tap("Cancel")
    hands.tap("Next")
    hands.answer_all(WELL, "What was found", looker.look)
    looker.look("foot-check-end")


def under_way(looker: Looker, practice: Furnished) -> None:
    hands = looker.hands
    hands.page.goto(f"/#/booking/{practice.ready.booking}/visit")
    hands.tap("Start the visit")
    hands.tap("Take a set")
    hands.page.get_by_role("button", name="Set 2").click()
    looker.look("visit-take-set")
    hands.tap("Back")
    hands.tap("Add a softener")
    hands.type("Product", "Urea cream")
    hands.type("Urea (%)", "10")
    hands.choose_in("Where?", "Left heel")
    hands.tap("It is on: start the timer")
    hands.tap("Add a bit")
    hands.choose("Large diamond")
    hands.type("Width of the head (mm)", "10")
    hands.type("Speed (turns a minute)", "15000")
    looker.look("visit-under-way")
    hands.page.get_by_role("timer").scroll_into_view_if_needed()
    looker.look("visit-timer")
    hands.tap("Something went wrong")
    hands.sees_heading("What is it?")
    hands.tap("A nick or a cut")
    hands.sees_heading("First aid")
    looker.look("mishap-first-aid")
    hands.choose("Family")
    hands.page.get_by_label("What happened?").scroll_into_view_if_needed()
    looker.look("mishap-write-down")
    hands.tap("Back")
    hands.tap("Go to sign-off")
    hands.sees_heading("Sign-off")
    looker.look("sign-off-under-way")
