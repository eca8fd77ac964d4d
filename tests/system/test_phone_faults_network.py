"""What befalls a phone's connection: it hangs, a portal answers, there is no Background Sync.

The faults are listed in docs/decisions/0100-phone-faults.md; common practice, no published source.
The network's faults are the proxy's, so that they meet the phone's own requests.
"""

import pytest

from tests.services.proxy import Fault
from tests.system.scene import Scene

NO_BACKGROUND_SYNC = """
  delete globalThis.SyncManager;
  delete ServiceWorkerRegistration.prototype.sync;
"""
STILL_TRYING = "Still trying to send 2 entries. You can go on working."


@pytest.mark.parametrize("fault", [Fault.HANG, Fault.HANG_AFTER], ids=["unheard", "applied"])
def test_connection_that_hangs(scene: Scene, fault: Fault) -> None:
    """`applied`: the server has done what it was told, and the phone does not hear of it."""
    hands = scene.hands
    hands.phone.open()
    hands.page.clock.install()
    scene.sign_in_here()
    scene.go_offline()
    waiting = f"Hanna {fault.name.title()}"
    scene.register(waiting)
    scene.proxy.break_next("/api/push", fault)
    scene.go_online()
    scene.proxy.wait_for("/api/push", fault)
    hands.page.clock.fast_forward(10_000)
    hands.sees(STILL_TRYING)
    scene.picture(fault.name.lower())
    later = f"Greta {fault.name.title()}"
    scene.register(later)
    # The phone gives up after a minute. Nothing more is entered: what waits goes by itself.
    hands.page.clock.fast_forward(50_000)
    hands.waits_until_sent()
    scene.arrived_once(waiting, later)


def test_portal_page_with_200(scene: Scene) -> None:
    hands = scene.hands
    scene.sign_in()
    scene.go_offline()
    scene.register("Petra Portal")
    scene.proxy.break_next("/api/", Fault.HTML, times=1000)
    scene.go_online()
    hands.sees("2 entries kept here, not sent yet")
    hands.sees("Sign in to the Wi-Fi")
    hands.page.goto("/#/sync")
    hands.sees("Something between this phone and the server answers instead of it.")
    hands.sees("2 entries kept here, not sent yet. The oldest is from")
    scene.picture("portal")
    scene.proxy.go_online()
    hands.waits_until_sent()
    scene.arrived_once("Petra Portal")


def open_without_background_sync(scene: Scene) -> None:
    scene.hands.phone.open()
    scene.page.add_init_script(NO_BACKGROUND_SYNC)
    scene.page.clock.install()


def test_no_background_sync(scene: Scene) -> None:
    """It flushes when the connection is back, and at a start."""
    hands = scene.hands
    open_without_background_sync(scene)
    scene.sign_in_here()
    assert not hands.page.evaluate("'SyncManager' in globalThis")
    scene.go_offline()
    scene.register("Olga Online")
    scene.go_online()
    hands.waits_until_sent()

    scene.proxy.go_offline()
    scene.register("Stella Start")
    hands.sees("2 entries kept here, not sent yet")
    hands.phone.close()
    scene.proxy.go_online()
    open_without_background_sync(scene)
    hands.page.goto("/")
    hands.unlock()
    hands.waits_until_sent()
    scene.arrived_once("Olga Online", "Stella Start")


def test_no_background_sync_while_the_app_stays_open(scene: Scene) -> None:
    """It flushes when somebody looks at it, and by a timer, unasked by the browser.

    The clock stands still, so that no timer comes before the look.
    """
    hands = scene.hands
    open_without_background_sync(scene)
    scene.sign_in_here()
    hands.page.clock.pause_at(hands.page.evaluate("Date.now() / 1000 + 1"))
    scene.proxy.go_offline()
    scene.register("Vera Visible")
    hands.sees("2 entries kept here, not sent yet")
    scene.picture("no-background-sync")
    scene.proxy.go_online()
    hands.page.evaluate("document.dispatchEvent(new Event('visibilitychange'))")
    hands.waits_until_sent()

    scene.proxy.go_offline()
    scene.register("Tina Timer")
    hands.sees("2 entries kept here, not sent yet")
    scene.proxy.go_online()
    hands.page.clock.run_for(5_000)
    hands.waits_until_sent()
    scene.arrived_once("Vera Visible", "Tina Timer")
