"""A phone with work that is not sent, and what its person does when the way in is lost."""

from tests.services.phone import Phone
from tests.system.device import PASSWORD, Device, of_kind
from tests.system.hands import Hands

OWNER = "owner@practice.test"
UNA = "Una Unsent"
NEW_PASSPHRASE = "nine loud ganders"


def signed_in(phone: Phone) -> Hands:
    phone.open()
    hands = Hands(phone)
    hands.sign_in(OWNER)
    hands.waits_until_sent()
    return hands


def enter_offline(hands: Hands) -> None:
    """A new client's card: two commands, one for the card and one for whose client it is."""
    hands.phone.context.set_offline(True)
    hands.page.goto("/#/clients/new")
    hands.type("Name", UNA)
    hands.type("Date of birth", "1950-05-17")
    hands.tap("Save")
    hands.sees_heading(UNA)


def forget(hands: Hands, change: str | None = None) -> None:
    """Shuts the app on unsent work, without the passphrase to it; `change` is done to its files."""
    enter_offline(hands)
    if change is not None:
        hands.page.evaluate(change)
    hands.page.reload()
    hands.tap("I forgot the passphrase")


def sign_in_anew(hands: Hands, then: str) -> None:
    hands.type("E-mail", OWNER)
    hands.type("Password", PASSWORD)
    hands.tap("Sign in")
    hands.type("Passphrase", NEW_PASSPHRASE)
    hands.type("The same again", NEW_PASSPHRASE)
    hands.tap("Use this passphrase")
    hands.sees_heading(then)


def names(device: Device) -> list[str]:
    return [row["name"] for row in of_kind(device.pull(), "client").values()]
