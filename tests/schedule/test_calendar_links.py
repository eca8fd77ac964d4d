"""The link for somebody's own calendar: who makes and ends it, and what it shows.

Check: our own rule (decision 0191); what comes is read by ical.js, an independent reader.
"""

import secrets
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from django.core.cache import cache
from django.db import connection
from django.http import HttpResponse

from heelwright import clock
from heelwright.schedule.models import CalendarLink
from heelwright.tenancy.models import Staff
from tests.factories import booking_args, ident, link_args
from tests.schedule.calendars import read_by_another
from tests.sync.http import Wire, told
from tests.sync.phone_model import fresh
from tests.world import Hand, World

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def the_servers_clock(world: World, monkeypatch: pytest.MonkeyPatch) -> None:
    cache.clear()  # the tries of other tests
    monkeypatch.setattr(clock, "now", lambda: world.technician.now)


class Shared:
    """A link of a hand, and what a calendar app gets by it."""

    def __init__(self, hand: Hand) -> None:
        self.hand, self.secret = hand, secrets.token_urlsafe(32)
        self.args = link_args(self.secret)
        hand.do("share_calendar", self.args)

    def asked(self, method: str = "get", **headers: str) -> HttpResponse:
        ask = getattr(Wire(self.hand).client, method)
        answer: HttpResponse = ask(f"/api/calendar/{self.secret}.ics", headers=headers)
        return answer

    def entries(self, folder: Path) -> list[dict[str, Any]]:
        answer = self.asked()
        assert answer.status_code == 200, answer.content
        (calendar,) = read_by_another([answer.content], folder)
        return list(calendar["entries"])

    def said(self, folder: Path) -> list[tuple[str, str]]:
        return [(one["summary"], at(one["start"])) for one in self.entries(folder)]


def at(read: Any) -> str:
    """The instant, or the day."""
    return str(read if isinstance(read, str) else read[0])


def written(moment: str) -> str:
    return f"{datetime.fromisoformat(moment).astimezone(UTC):%Y-%m-%dT%H:%M:%S.000Z}"


def book(world: World, client: str, **span: float) -> dict[str, Any]:
    hand = world.technician
    args = booking_args(client=client, staff=hand.id, starts_at=hand.stamp(**span), minutes=20)
    hand.do("book_visit", args)
    return args


def round_on(world: World, days: int, *clients: str) -> dict[str, Any]:
    owner = world.owner
    visits = [
        booking_args(
            client=client,
            staff=world.technician.id,
            starts_at=owner.stamp(days=days, minutes=30 * place),
            minutes=20,
        )
        for place, client in enumerate(clients)
    ]
    args = {"round": ident(), "facility": world.facility, "day": owner.day(days=days)}
    owner.do("plan_round", {**args, "visits": visits})
    return {**args, "visits": visits}


def test_visits_rounds_and_days_off_with_their_times(world: World, tmp_path: Path) -> None:
    technician = world.technician
    other = technician.register(facility=world.facility, room="9")
    visit = book(world, world.client, days=2)
    walk = round_on(world, 3, other, world.resident)
    days = {"first": technician.day(days=5), "last": technician.day(days=6), "name": "Ill"}
    technician.do("add_time_off", {"time_off": ident(), "staff": technician.id, **days})
    found = Shared(technician).entries(tmp_path)
    assert [one["summary"] for one in found] == ["Visit", "Round (2 stops)", "Off"]
    assert found[0]["uid"] == visit["booking"]
    first, last = walk["visits"]
    ends = datetime.fromisoformat(last["starts_at"]) + timedelta(minutes=20)
    assert at(found[1]["start"]) == written(first["starts_at"])
    assert at(found[1]["end"]) == written(ends.isoformat())
    assert (found[2]["start"], found[2]["end"]) == (days["first"], technician.day(days=7))


def test_no_word_of_anybody_is_in_it(world: World) -> None:
    technician = world.technician
    client = technician.register(name="Zqname Zqother", address="Zqstreet", note="Zqnote")
    book(world, client, days=1)
    days = {"first": technician.day(), "last": technician.day(), "name": "Zqillness"}
    technician.do("add_time_off", {"time_off": ident(), "staff": technician.id, **days})
    body = Shared(technician).asked().content.decode()
    names = {line.partition(":")[0].partition(";")[0] for line in body.split("\r\n") if line}
    assert names == set(
        "BEGIN END VERSION PRODID NAME X-WR-CALNAME REFRESH-INTERVAL UID SUMMARY DTSTART DTEND"
        " DTSTAMP SEQUENCE CLASS DESCRIPTION LAST-MODIFIED TRANSP".split()
    )
    texts = {line for line in body.split("\r\n") if line.startswith(("SUMMARY", "DESCRIPTION"))}
    assert texts == {"SUMMARY:Visit", "SUMMARY:Off", "DESCRIPTION:Open the app for more."}
    ids = (client, technician.id, world.practice.pk)
    assert not any(str(word) in body for word in ("Zq", world.practice.name, *ids))


def test_what_was_called_off_is_gone_and_what_was_moved_is_revised(
    world: World, tmp_path: Path
) -> None:
    technician = world.technician
    gone, moved = book(world, world.client, days=2), book(world, world.client, days=3)
    shared = Shared(technician)
    before = shared.entries(tmp_path)
    technician.later(hours=1)
    technician.do("cancel_booking", {"booking": gone["booking"], "seen": 10**6, "code": "mistake"})
    asked = {"booking": moved["booking"], "seen": 10**6, "staff": technician.id, "minutes": 20}
    technician.do("move_booking", {**asked, "starts_at": technician.stamp(days=4)})
    (after,) = shared.entries(tmp_path)
    assert (after["uid"], at(after["start"])) == (
        moved["booking"],
        written(technician.stamp(days=4)),
    )
    assert after["stamp"] == written(technician.stamp())
    assert after["sequence"] == before[1]["sequence"] + 3600


def test_a_stop_that_was_moved_to_another_day_is_a_visit(world: World, tmp_path: Path) -> None:
    technician = world.technician
    other = technician.register(facility=world.facility, room="9")
    walk = round_on(world, 3, other, world.resident)
    asked = {"booking": walk["visits"][1]["booking"], "seen": 10**6, "staff": technician.id}
    moved = {**asked, "minutes": 20, "starts_at": technician.stamp(days=4)}
    technician.do("move_booking", moved)
    told_apart = [summary for summary, _ in Shared(technician).said(tmp_path)]
    assert told_apart == ["Round (1 stop)", "Visit"]
    assert [summary for summary, _ in Shared(world.coordinator).said(tmp_path)] == [
        "Round (1 stop)"
    ]


@pytest.mark.parametrize(("days", "shown"), [(-15, 0), (-14, 1), (90, 1), (91, 0)])
def test_from_two_weeks_back_to_three_months_ahead(
    world: World, tmp_path: Path, days: int, shown: int
) -> None:
    book(world, world.client, days=days)
    assert len(Shared(world.technician).entries(tmp_path)) == shown


def test_each_sees_what_is_theirs(world: World, tmp_path: Path) -> None:
    """A technician and an owner their own visits, a coordinator the rounds of their houses."""
    book(world, world.client, days=2)
    walk = round_on(world, 3, world.resident)
    walked = ("Round (1 stop)", written(walk["visits"][0]["starts_at"]))
    world.owner.do("add_time_off", {
        "time_off": ident(), "staff": None,
        "first": world.owner.day(days=9), "last": world.owner.day(days=9),
    })  # fmt: skip
    off = ("Off", world.owner.day(days=9))
    said = {who: Shared(world.hands[who]).said(tmp_path) for who in HANDS}
    assert [entry[0] for entry in said["technician"]] == ["Visit", "Round (1 stop)", "Off"]
    assert said["coordinator"] == [walked, off]
    assert said["owner"] == said["colleague"] == [off]
    assert said["stranger"] == []


HANDS = ("owner", "technician", "colleague", "coordinator", "stranger")


def test_whom_one_has_no_more_is_not_shown(world: World, tmp_path: Path) -> None:
    """As in the app."""
    book(world, world.client, days=2)
    shared = Shared(world.technician)
    assert len(shared.entries(tmp_path)) == 1
    gone = {"client": world.client, "staff": world.technician.id}
    world.owner.do("unassign_client", gone)
    assert not shared.entries(tmp_path)


def test_what_is_booked_while_it_is_read_is_no_trouble(world: World, tmp_path: Path) -> None:
    calendar = Shared(world.technician)
    booked: list[str] = []

    def meanwhile(execute: Any, sql: str, *more: Any) -> Any:
        result = execute(sql, *more)
        if "schedule_booking" in sql and not booked:
            booked.append("once")
            book(world, world.client, days=2)
        return result

    book(world, world.client, days=1)
    with connection.execute_wrapper(meanwhile):
        assert calendar.asked().status_code == 200
    assert booked
    assert len(calendar.said(tmp_path)) == 2


def test_a_new_link_ends_the_one_before(world: World) -> None:
    first, second = Shared(world.technician), Shared(world.technician)
    assert (first.asked().status_code, second.asked().status_code) == (404, 200)
    assert {str(id_) for id_ in fresh(world.technician).of("calendar_link")} == {
        second.args["link"]
    }


@pytest.mark.parametrize("who", ["technician", "owner", "colleague", "coordinator"])
def test_it_is_ended_by_whose_it_is_or_an_owner(world: World, who: str) -> None:
    shared, end = Shared(world.technician), {"link": ""}
    end["link"] = shared.args["link"]
    if who in ("technician", "owner"):
        world.hands[who].do("end_calendar", end)
        assert shared.asked().status_code == 404
        assert world.hands[who].no("end_calendar", end) == "not_found"
    else:
        assert world.hands[who].no("end_calendar", end) == "not_found"
        assert shared.asked().status_code == 200


def test_it_is_seen_by_whose_it_is_and_an_owner_alone(world: World) -> None:
    Shared(world.technician)
    seen = {who: len(fresh(world.hands[who]).of("calendar_link")) for who in HANDS}
    assert seen == {"owner": 1, "technician": 1, "colleague": 0, "coordinator": 0, "stranger": 0}


def test_the_day_on_which_a_calendar_last_asked_is_told(world: World) -> None:
    technician = world.technician
    shared = Shared(technician)

    def told_day() -> Any:
        (row,) = fresh(technician).of("calendar_link").values()
        return row["fetched_on"]

    assert told_day() is None
    shared.asked()
    assert told_day() == technician.day()
    before = fresh(technician).of("calendar_link")
    technician.later(minutes=5)
    shared.asked()
    assert fresh(technician).of("calendar_link") == before
    technician.later(days=2)
    shared.asked()
    assert told_day() == technician.day()


@pytest.mark.parametrize("how", ["phone", "person"])
def test_it_ends_with_the_phone_that_made_it_and_with_its_person(world: World, how: str) -> None:
    technician = world.technician
    shared = Shared(technician)
    if how == "phone":
        device = {"device": str(technician.device.pk), "save_unsent": True}
        world.owner.do("revoke_device", device)
    else:
        Staff.objects.filter(pk=technician.staff.pk).update(ended_at=technician.now)
    assert shared.asked().status_code == 404
    assert not CalendarLink.objects.exists()
    assert not fresh(world.owner).of("calendar_link")


def test_what_has_not_changed_is_not_sent_again(world: World) -> None:
    """RFC 9110, 13.1.2 and 15.4.5."""
    shared = Shared(world.technician)
    book(world, world.client, days=2)
    tag = shared.asked().headers["ETag"]
    world.technician.later(hours=1)
    again = shared.asked(**{"If-None-Match": f'"other", {tag}'})
    assert (again.status_code, again.content) == (304, b"")
    book(world, world.client, days=3)
    anew = shared.asked(**{"If-None-Match": tag})
    assert anew.status_code == 200
    assert anew.headers["ETag"] != tag


def test_its_headers(world: World) -> None:
    answer = Shared(world.technician).asked()
    expected = {
        "Content-Type": "text/calendar; charset=utf-8",
        "Cache-Control": "no-store",
        "Referrer-Policy": "no-referrer",
        "X-Robots-Tag": "noindex",
        "X-Content-Type-Options": "nosniff",
    }
    assert {name: answer.headers.get(name) for name in expected} == expected


def test_a_secret_that_is_in_use_is_refused(world: World) -> None:
    shared = Shared(world.technician)
    again = shared.args | {"link": ident()}
    assert world.stranger.no("share_calendar", again) == "id_taken"
    assert shared.asked().status_code == 200
    refusal = world.technician.send("share_calendar", link_args() | {"secret_sha256": "x"}).refusal
    assert refusal is not None
    assert refusal.field == "secret_sha256"


def test_no_answer_tells_an_ended_link_from_one_that_never_was(world: World) -> None:
    first, _ = Shared(world.technician), Shared(world.technician)
    ended = first.asked()
    first.secret = secrets.token_urlsafe(32)
    never = first.asked()
    assert told(ended) == told(never)
    assert dict(ended.headers) == dict(never.headers)
