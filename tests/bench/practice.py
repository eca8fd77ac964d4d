"""A practice with a given number of records, made by pushes as a phone makes them."""

from datetime import date, timedelta

from tests.services.served import ServedApp
from tests.system.device import Device, Json
from tests.system.home_visit import HomeVisit, noon_today
from tests.system.practice import found

KINDS_A_CLIENT = ("client", "booking", "health_screen", "consent")
PUSHED_AT_ONCE = 100
FIRST_BORN = date(1965, 1, 1)


def fill(app: ServedApp, email: str, records: int) -> Device:
    """A quarter each of clients, bookings, health screens and consents; one visit is today."""
    owner = found(app, email, f"Invented Feet {records}")
    commands: list[Json] = []
    for number in range(records // len(KINDS_A_CLIENT)):
        day = HomeVisit(owner.staff)
        if number == 0:
            day.starts_at = noon_today()
        card = {"name": f"Invented Client {number}", "address": f"{number} Made-up Row"}
        # Days of birth differ, or the owner would be told of as many clients entered twice.
        card["born"] = str(FIRST_BORN + timedelta(weeks=number))
        commands.append(owner.command("register_client", **day.card(**card)))
        commands.append(owner.command("book_visit", **day.booked()))
        commands.append(owner.command("record_screen", **day.screened()))
        commands.append(owner.command("sign_consent", **day.signed()))
    for start in range(0, len(commands), PUSHED_AT_ONCE):
        answer = owner.push(*commands[start : start + PUSHED_AT_ONCE])
        statuses = {result["status"] for result in answer.body["results"]}
        assert statuses == {"applied"}, answer.body
    return owner
