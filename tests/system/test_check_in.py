"""A technician who works alone checks in by the phone, and the phone says what nobody has heard.

Common practice, no source.
"""

from collections.abc import Callable

from tests.services.phone import Phone
from tests.services.served import ServedApp
from tests.system.practice import owner_of
from tests.system.unsent import signed_in


def test_what_the_server_has_not_heard_is_said(
    new_phone: Callable[[str], Phone], live_server_process: ServedApp
) -> None:
    owner_of(live_server_process)
    hands = signed_in(new_phone("owner"))
    page = hands.page
    page.goto("/#/check-in")
    page.get_by_label("Their name").fill("Noa Next-door")
    page.get_by_label("Their e-mail").fill("noa@next-door")
    page.get_by_text("This is not an e-mail address.").wait_for()
    page.get_by_label("Their e-mail").fill("noa@next-door.test")
    page.get_by_role("button", name="Start").click()
    page.get_by_text("is told if you do not check in by then").wait_for()
    page.context.set_offline(True)
    page.get_by_role("button", name="I am back").click()
    page.get_by_text("You are back, but this phone has not reached the server").wait_for()
    page.goto("/#/today")
    page.get_by_role("link", name="Not sent: Noa Next-door may still be told").wait_for()
    page.context.set_offline(False)
    page.get_by_text("All sent").wait_for()
    page.get_by_role("link", name="may still be told").wait_for(state="hidden")
