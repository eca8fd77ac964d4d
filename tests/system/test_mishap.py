"""Something goes wrong in a visit without signal: first aid at once, the visit stopped, all of it
on the server later, and closed by an owner.

Check: the project's own rule, decisions 0155 and 0156.
"""

from collections.abc import Callable

from tests.services.phone import Phone
from tests.services.served import ServedApp
from tests.system.device import of_kind
from tests.system.furnished import OWNER, furnish
from tests.system.hands import Hands


def ends_early_and_only_so(hands: Hands) -> None:
    hands.sees_heading("Sign-off")
    hands.sees("Went wrong: Bleeding that does not stop")
    hands.sees("It was said that the visit stops here")
    assert hands.page.get_by_text("Done as planned").count() == 0
    assert hands.page.get_by_label("If a spot bleeds").is_checked()
    hands.tap("Sign off")
    hands.sees_heading("Aftercare")


def names_its_visit(hands: Hands) -> None:
    hands.sees("The visit was stopped for this.")
    hands.sees("The visit: Ended early")


def test_from_first_aid_without_signal_to_the_closing(
    live_server_process: ServedApp, new_phone: Callable[[str], Phone]
) -> None:
    practice = furnish(live_server_process)
    phone = new_phone("owner")
    phone.open()
    hands = Hands(phone)
    hands.sign_in(OWNER)
    hands.waits_until_sent()
    phone.context.set_offline(True)
    hands.page.goto(f"/#/booking/{practice.ready.booking}/visit")
    hands.tap("Start the visit")
    hands.tap("Something went wrong")
    hands.tap("Bleeding that does not stop")
    hands.sees("Press hard on it with a clean pad.")
    hands.choose("Family")
    hands.type("What happened?", "The edge of a crack opened.")
    hands.tap("Keep it and stop the visit")
    ends_early_and_only_so(hands)
    hands.tap("Read what happened")
    hands.sees("The edge of a crack opened.")
    names_its_visit(hands)
    phone.context.set_offline(False)
    hands.waits_until_sent()

    rows = practice.owner.pull()
    kept = of_kind(rows, "mishap")
    (mishap,) = [id_ for id_, row in kept.items() if row["kind"] == "bleeding"]
    (visit,) = [v for v in of_kind(rows, "visit").items() if v[1]["state"] == "ended_early"]
    told = kept[mishap]
    assert (told["visit"], told["visit_stopped"]) == (visit[0], True)
    assert visit[1]["record"]["ended_early"] == "Bleeding that does not stop"
    assert [one["who"] for one in told["told"]] == ["family"]

    hands.page.goto(f"/#/mishap/{mishap}")
    hands.page.get_by_label("What came of it").last.fill("Read, and talked over.")
    hands.page.get_by_role("button", name="Close it", exact=True).click()
    hands.sees("Closed by ")
    hands.waits_until_sent()
    assert of_kind(practice.owner.pull(), "mishap")[mishap]["closed_at"] is not None
