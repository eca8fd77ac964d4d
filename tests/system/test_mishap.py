"""Something goes wrong in a visit without signal: first aid at once, the visit stopped, all of it
on the server later, and closed by an owner.

Check: the project's own rule, decisions 0155 and 0156.
"""

from collections.abc import Callable
from datetime import timedelta

from playwright.sync_api import expect

from tests.services.phone import Phone
from tests.services.served import ServedApp
from tests.system.device import Device, of_kind
from tests.system.furnished import furnish
from tests.system.hands import Hands
from tests.system.home_visit import noon_today
from tests.system.test_axe import Looker
from tests.system.unsent import signed_in


def ends_early_and_only_so(hands: Hands) -> None:
    hands.sees_heading("Sign-off")
    hands.sees("Went wrong: Bleeding that does not stop")
    hands.sees("It was said that the visit stops here")
    assert hands.page.get_by_text("Done as planned").count() == 0
    assert hands.page.get_by_label("If a spot bleeds").is_checked()
    hands.tap("No set was used")
    hands.tap("Sign off")
    hands.sees_heading("Aftercare")


def names_its_visit(hands: Hands) -> None:
    hands.sees("The visit was stopped for this.")
    hands.sees("The visit: Ended early")


def closed_before_the_day_to_ask(hands: Hands, owner: Device, mishap: str) -> None:
    """The owner has read it; the client is still asked after on the day."""
    hands.page.goto(f"/#/mishap/{mishap}")
    ahead = (noon_today() + timedelta(days=3)).date()
    hands.type("Ask after the client on", str(ahead))
    hands.type("What came of it", "Read, and talked over.")
    hands.sees("Closing keeps the day to ask after the client")
    hands.tap("Close it")
    hands.sees("Closed by ")
    expect(hands.page.locator(".tag", has_text="Ask after the client on")).to_be_visible()
    hands.waits_until_sent()
    closed = of_kind(owner.pull(), "mishap")[mishap]
    assert closed["closed_at"] is not None
    assert closed["follow_up_on"] == str(ahead)
    assert [entry["note"] for entry in closed["entries"]] == ["", "Read, and talked over."]


def test_from_first_aid_without_signal_to_the_closing(
    live_server_process: ServedApp, new_phone: Callable[[str], Phone]
) -> None:
    practice = furnish(live_server_process)
    phone = new_phone("owner")
    hands = signed_in(phone)
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

    closed_before_the_day_to_ask(hands, practice.owner, mishap)


def at_each_width(looker: Looker, name: str) -> None:
    page = looker.hands.page
    for width in (320, 360):
        page.set_viewport_size({"width": width, "height": 780})
        looker.look(f"{name}-{width}")
    assert not looker.found, "\n\n".join(looker.found)


def changes_an_answer_first(looker: Looker) -> None:
    """Something has changed since the questions: there is a way to them before the start."""
    looker.hands.sees("has anything changed since the questions?")
    at_each_width(looker, "before-the-start")
    looker.hands.tap("Change the answers")
    looker.hands.page.wait_for_url("**/screen")
    looker.hands.sees_heading("How you are today")
    at_each_width(looker, "change-the-answers")
    looker.hands.page.go_back()


def both_feet_stand_together(hands: Hands) -> None:
    left_alone = hands.page.get_by_role("group", name="Left alone")
    expect(left_alone.get_by_label("The left foot")).to_be_visible()
    labels = left_alone.locator("label").all_inner_texts()
    feet = [at for at, label in enumerate(labels) if "foot, all of it" in label]
    assert feet == [feet[0], feet[0] + 1]


def cream_and_weeks_as_usual(hands: Hands) -> None:
    hands.tap("Go to sign-off")
    hands.sees_heading("Sign-off")
    expect(hands.page.get_by_label("Rub a urea cream")).to_be_checked()
    expect(hands.page.get_by_label("In how many weeks?")).not_to_have_value("")
    hands.tap("Back")


def the_sheet_says_no_cream(looker: Looker) -> None:
    hands = looker.hands
    hands.sees_heading("Aftercare")
    hands.sees("Put no cream on a place that is sore or hurt.")
    hands.sees("We will ask how you are on ")
    assert hands.page.get_by_text("Rub a urea cream").count() == 0
    assert hands.page.get_by_text("Next visit in").count() == 0
    at_each_width(looker, "aftercare-after-a-burn")


def test_after_a_burn_the_sheet_says_no_cream_and_the_next_visit_waits(
    live_server_process: ServedApp, new_phone: Callable[[str], Phone]
) -> None:
    """No cream on hurt skin: common practice, no source. Sign-off may have been opened before."""
    practice = furnish(live_server_process)
    hands = signed_in(new_phone("owner"))
    looker = Looker(hands)
    hands.page.goto(f"/#/booking/{practice.ready.booking}/visit")
    changes_an_answer_first(looker)
    hands.tap("Start the visit")
    both_feet_stand_together(hands)
    cream_and_weeks_as_usual(hands)
    hands.tap("Something went wrong")
    hands.tap("A burn, or it got too hot")
    ask_on = (noon_today() + timedelta(days=3)).date()
    hands.type("Ask after the client on", str(ask_on))
    hands.tap("Keep it and stop the visit")

    hands.sees_heading("Sign-off")
    hands.sees("The skin may be hurt")
    expect(hands.page.get_by_label("Put no cream on a place that is sore")).to_be_checked()
    expect(hands.page.get_by_label("Call your doctor or nurse at once")).to_be_checked()
    expect(hands.page.get_by_label("Rub a urea cream")).not_to_be_checked()
    expect(hands.page.get_by_label("In how many weeks?")).to_have_value("")
    hands.page.get_by_text("The skin may be hurt").scroll_into_view_if_needed()
    at_each_width(looker, "sign-off-after-a-burn")
    hands.tap("No set was used")
    hands.tap("Sign off")
    the_sheet_says_no_cream(looker)
    hands.waits_until_sent()
    (record,) = [
        row["record"]
        for row in of_kind(practice.owner.pull(), "visit").values()
        if row["state"] == "ended_early"
    ]
    assert record["aftercare"][0] == "hurt_skin"
    assert record["weeks_until_next"] is None
