"""A client signs on their own phone, by a code that they read off the technician's.

Check: our own rules (decision records 0154 and 0163); the code by zxing, an outside reader; axe as
in test_axe.
"""

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Playwright, expect

from tests.services.proxy import Fault
from tests.services.served import ROOT
from tests.system.database import logged
from tests.system.device import Json, of_kind
from tests.system.hands import Hands
from tests.system.own_phone import (
    SIZES,
    Beholder,
    OwnPhones,
    client_of,
    comes,
    left_on,
    own_phones,
    prepare,
    scanned,
    sees,
)
from tests.system.scene import Scene

DONE = "/api/sign/done"
KEPT = "Kept on this phone, being sent"
ARRIVED = "Done, you can close this page"
# The answers are sealed and put on disk after the tap: nothing may be on its way any more.
NOTHING_WRITTEN_LATELY = """() => new Promise((heard) => {
  const opening = indexedDB.open("heelwright-signing");
  opening.onsuccess = () => {
    const asking = opening.result.transaction("kept").objectStore("kept").getAll();
    asking.onsuccess = () => {
      opening.result.close();
      const form = asking.result.find(({ part }) => part === "form");
      heard(form !== undefined && Date.now() - form.at > 1000);
    };
  };
})"""


@pytest.fixture
def phones(scene: Scene, playwright: Playwright, tmp_path: Path) -> Iterator[OwnPhones]:
    with own_phones(playwright, tmp_path, scene.proxy.url) as made:
        yield made


def of_client(scene: Scene, client: object, *kinds: str) -> list[Json]:
    rows = scene.other.pull()
    found = (row for kind in kinds for row in of_kind(rows, kind).values())
    return [row for row in found if row["client"] == str(client)]


def offer(scene: Scene) -> str:
    """The link, as the camera reads it."""
    scene.hands.tap("On their own phone")
    scene.hands.sees_heading("On their own phone")
    return scanned(scene.page)


def secret_is_nowhere(scene: Scene, link: str) -> None:
    """Neither in a request nor in the server's log, nor in the technician's address bar."""
    token = link.partition("#")[2]
    assert len(token) == 43
    assert not [seen for seen in scene.proxy.seen if token in seen.path]
    assert token not in scene.app.log
    assert token not in scene.page.url


def test_a_code_made_without_signal_and_answers_sent_over_a_line_that_breaks(
    scene: Scene, phones: OwnPhones
) -> None:
    day = client_of(scene)
    scene.sign_in()
    prepare(scene, day)
    scene.go_offline()
    link = offer(scene)
    assert link.startswith(f"{scene.proxy.url}/sign.html#")
    is_there_after_a_reload(scene, day.client, link)
    theirs = phones.new()
    theirs.page.goto(link)
    sees(theirs.page, "Not ready yet")
    scene.go_online()
    sees(theirs.page, "Are you Ida Invented?")
    comes(scene.page, "Opened on their phone")
    answer_all(theirs)
    send_over_a_bad_line(scene, theirs)
    stands(scene, day.client)
    nothing_is_left(theirs)
    secret_is_nowhere(scene, link)
    another = phones.new()
    another.page.goto(link)
    sees(another.page, "This link was answered")


def is_there_after_a_reload(scene: Scene, client: object, link: str) -> None:
    scene.hands.sees("Waiting for signal")
    scene.page.goto(f"/#/client/{client}")
    scene.hands.sees("Waits to be signed on the client")
    scene.page.reload()
    scene.hands.unlock()
    scene.page.goto(f"/#/client/{client}/consent")
    scene.hands.sees_heading("On their own phone")
    assert scanned(scene.page) == link


def send_over_a_bad_line(scene: Scene, theirs: Hands) -> None:
    """Half a request, a page reloaded, an answer that is lost; then it works."""
    scene.proxy.break_from_now(DONE, Fault.CUT_REQUEST, times=1000)
    theirs.tap("Sign")
    sees(theirs.page, KEPT)
    scene.proxy.wait_for(DONE, Fault.CUT_REQUEST)
    theirs.page.reload()
    sees(theirs.page, KEPT)
    scene.proxy.break_from_now(DONE, Fault.DROP_REPLY)
    scene.proxy.wait_for(DONE, Fault.DROP_REPLY)
    sees(theirs.page, ARRIVED)


def answer_all(theirs: Hands) -> None:
    """Yes to the work and no to the rest; reloaded half-way."""
    theirs.tap("Yes, start")
    theirs.tap("Yes, I agree")
    theirs.sees("2 of 3")
    theirs.page.wait_for_function(NOTHING_WRITTEN_LATELY)
    theirs.page.reload()
    theirs.sees("2 of 3")
    theirs.tap("No")
    theirs.sees("3 of 3")
    theirs.tap("No")
    sees(theirs.page, "Your answers")
    theirs.draw(theirs.page.locator("canvas"))


def stands(scene: Scene, client: object) -> None:
    """On the technician's card, and on the server once."""
    comes(scene.page, "Consent stands")
    [work] = of_client(scene, client, "consent")
    assert (work["signer_name"], work["how"], work["counts"]) == ("Ida Invented", "drawn", True)
    rest = of_client(scene, client, "consent_choice")
    assert [row["agreed"] for row in rest] == [False, False]
    [made] = of_client(scene, client, "signing_offer")
    assert made["opened_at"] and made["answered_at"] and not made["ended_at"]
    sheets = [entry for entry in scene.logged() if entry.name == "record_consent_sheet"]
    assert [(entry.seq, entry.status) for entry in sheets] == [(1, "applied")]
    nothing_is_flagged(scene)


def nothing_is_flagged(scene: Scene) -> None:
    """The server makes the digest of what was shown again, and would tell of another one."""
    codes = {row["code"] for row in of_kind(scene.other.pull(), "incident").values()}
    # The clients of these tests have one name and one birthday.
    assert codes <= {"client_entered_twice"}


def nothing_is_left(theirs: Hands) -> None:
    theirs.page.wait_for_function("() => indexedDB.databases().then((all) => all.length === 0)")
    assert left_on(theirs.page) == []


def test_a_no_in_spanish_and_no_second_phone(scene: Scene, phones: OwnPhones) -> None:
    day = client_of(scene, name="Ida Invented")
    scene.sign_in()
    prepare(scene, day)
    scene.hands.choose("Español")
    link = offer(scene)
    scene.hands.sees("The link is ready")
    theirs, another = phones.new(), phones.new()
    theirs.page.goto(link)
    sees(theirs.page, "¿Usted es Ida Invented?")
    another.page.goto(link)
    sees(another.page, "The link is in use on another phone")
    another.tap("Español")
    sees(another.page, "El enlace se usa en otro teléfono")
    assert left_on(another.page) == []
    theirs.tap("Sí, empezar")
    theirs.tap("No quiero firmar")
    sees(theirs.page, "Sus respuestas")
    theirs.type("Si quiere, diga por qué. No es necesario.", "Hoy no.")
    theirs.tap("Terminar sin firmar")
    sees(theirs.page, "Listo, puede cerrar esta página")
    comes(scene.page, "Ida Invented said no")
    scene.hands.sees("What was said: Hoy no.")
    assert of_client(scene, day.client, "consent") == []
    rows = of_client(scene, day.client, "consent_choice")
    assert {(row["agreed"], row["how"], row["language"]) for row in rows} == {
        (False, "unsigned", "es")
    }
    nothing_is_flagged(scene)


def test_a_yes_in_spanish_on_a_narrow_phone_without_a_line_from_half_way(
    scene: Scene, phones: OwnPhones
) -> None:
    day = client_of(scene)
    scene.sign_in()
    prepare(scene, day)
    scene.hands.choose("Español")
    link = offer(scene)
    scene.hands.sees("The link is ready")
    theirs, beholder = phones.new(), Beholder({"narrow": SIZES["narrow"]})
    width, height = SIZES["narrow"]
    theirs.page.set_viewport_size({"width": width, "height": height})
    theirs.page.goto(link)
    sees(theirs.page, "¿Usted es Ida Invented?")
    beholder.look(theirs.page, "narrow-hello")
    theirs.tap("Sí, empezar")
    theirs.tap("Sí, estoy de acuerdo")
    theirs.sees("2 de 3")
    theirs.phone.context.set_offline(True)
    beholder.look(theirs.page, "narrow-text")
    for answer in ("No", "Sí, estoy de acuerdo"):
        theirs.tap(answer)
    sees(theirs.page, "Sus respuestas")
    theirs.draw(theirs.page.locator("canvas"))
    beholder.look(theirs.page, "narrow-sign")
    theirs.tap("Firmar")
    sees(theirs.page, "Guardado en este teléfono, se está enviando")
    theirs.sees("Ahora no hay internet.")
    beholder.look(theirs.page, "narrow-kept")
    assert of_client(scene, day.client, "consent") == []
    theirs.phone.context.set_offline(False)
    sees(theirs.page, "Listo, puede cerrar esta página")
    beholder.look(theirs.page, "narrow-done")
    comes(scene.page, "Consent stands")
    said = of_client(scene, day.client, "consent", "consent_choice")
    assert sorted((row["purpose"], row["agreed"], row["language"]) for row in said) == [
        ("messages", True, "es"),
        ("photos", False, "es"),
        ("treatment", True, "es"),
    ]
    nothing_is_flagged(scene)
    nothing_is_left(theirs)
    assert not beholder.found, "\n\n".join(beholder.found)


def test_a_link_that_was_taken_back_opens_nowhere(scene: Scene, phones: OwnPhones) -> None:
    day = client_of(scene)
    scene.sign_in()
    prepare(scene, day)
    link = offer(scene)
    scene.hands.sees("The link is ready")
    scene.hands.tap("Take the link back")
    scene.hands.sees("The link was taken back")
    expect(scene.page.get_by_role("img", name="Code that holds the link")).to_have_count(0)
    scene.hands.waits_until_sent()
    theirs = phones.new()
    theirs.page.goto(link)
    sees(theirs.page, "This link is over")
    theirs.page.goto(link[:-1])
    sees(theirs.page, "A part of the link is missing")
    scene.hands.tap("Back to the consent")
    expect(scene.page.get_by_role("button", name="Hand the phone over")).to_be_enabled()
    assert [entry.name for entry in logged(scene.app)].count("end_signing") == 1


def test_a_link_is_open_as_long_as_the_server_says(scene: Scene, phones: OwnPhones) -> None:
    """The technician's clock jumps two hours ahead and back, with the code on the screen."""
    day = client_of(scene)
    scene.hands.phone.open()
    scene.page.clock.install()
    scene.sign_in_here()
    prepare(scene, day)
    link = offer(scene)
    scene.hands.sees("The link is ready")
    for hours in (2, -2):
        now = scene.page.evaluate("Date.now()")
        scene.page.clock.set_system_time((now + hours * 3_600_000) / 1000)
        scene.page.dispatch_event("body", "pointerdown")
        scene.hands.unlock()
        scene.page.goto(f"/#/client/{day.client}/consent")
        scene.hands.sees("The link is ready")
        assert scanned(scene.page) == link
    theirs = phones.new()
    theirs.page.goto(link)
    sees(theirs.page, "Are you Ida Invented?")


def test_the_page_is_not_the_apps(scene: Scene) -> None:
    """Where the app is kept for use without a network, its own page does not stand in for it."""
    scene.sign_in()
    page = scene.hands.phone.context.new_page()
    scene.proxy.break_next("/sign/", Fault.CUT_REQUEST, times=9)
    page.goto("/sign.html")
    waiting = page.get_by_text("If nothing more comes")
    expect(waiting).to_be_visible()
    scene.proxy.go_online()
    page.reload()
    sees(page, "A part of the link is missing")
    expect(waiting).to_have_count(0)
    kept = (ROOT / "pwa" / "dist" / "sw.js").read_text()
    assert "assets/" in kept and '"sign' not in kept


def test_each_page_is_fit_to_read(scene: Scene, phones: OwnPhones) -> None:
    day = client_of(scene, decides_for_self=False)
    scene.sign_in()
    scene.page.goto(f"/#/client/{day.client}/consent")
    scene.hands.type("Name of the person who signs", "Bo Untrue")
    scene.hands.choose("Guardian, named by a court")
    beholder = Beholder()
    beholder.look(scene.page, "prepare")
    scene.go_offline()
    link = offer(scene)
    scene.hands.sees("Waiting for signal")
    beholder.look(scene.page, "technician-waiting")
    theirs = phones.new()
    theirs.page.goto(link)
    sees(theirs.page, "Not ready yet")
    beholder.look(theirs.page, "not-yet")
    scene.go_online()
    look_at_the_asking(theirs, beholder)
    comes(scene.page, "Opened on their phone")
    beholder.look(scene.page, "technician-opened")
    scene.page.goto(f"/#/client/{day.client}")
    scene.hands.sees("Waits to be signed on the client")
    beholder.look(scene.page, "card")
    look_at_the_sending(scene, theirs, beholder)
    another = phones.new()
    for name, address, heading in (
        ("answered", link, "This link was answered"),
        ("part", link[:-1], "A part of the link is missing"),
    ):
        another.page.goto(address)
        sees(another.page, heading)
        beholder.look(another.page, name)
    assert not beholder.found, "\n\n".join(beholder.found)


def look_at_the_asking(theirs: Hands, beholder: Beholder) -> None:
    sees(theirs.page, "Are you Bo Untrue?")
    theirs.sees("You decide for Ida.")
    beholder.look(theirs.page, "hello")
    theirs.tap("Yes, start")
    beholder.look(theirs.page, "text")
    theirs.tap("Larger text")
    theirs.tap("Español")
    beholder.look(theirs.page, "text-larger-spanish")
    for answer in ("Sí, estoy de acuerdo", "No", "No"):
        theirs.tap(answer)
    sees(theirs.page, "Sus respuestas")
    beholder.look(theirs.page, "sign")
    theirs.tap("No quiero firmar")
    beholder.look(theirs.page, "not-signing")


def look_at_the_sending(scene: Scene, theirs: Hands, beholder: Beholder) -> None:
    scene.proxy.break_next(DONE, Fault.CUT_REQUEST, times=99)
    theirs.tap("Terminar sin firmar")
    theirs.sees("Ahora no hay internet.")
    beholder.look(theirs.page, "kept")
    scene.proxy.go_online()
    theirs.tap("Intentar ahora")
    sees(theirs.page, "Listo, puede cerrar esta página")
    beholder.look(theirs.page, "done")
