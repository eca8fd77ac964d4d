"""A report alone does not prove when a visit began (docs/decisions/0096-as-it-stood.md).

Check: the project's own rule, no outside source.
"""

from datetime import datetime
from typing import Any
from uuid import UUID

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from heelwright.people.models import Client
from heelwright.visits import vouching
from heelwright.visits.models import Visit
from tests.factories import NEEDS_WORD, REFERRED, ident
from tests.sync.phone_model import fresh
from tests.visits.test_clocks import anew
from tests.world import Hand, World

ALONE = "start_not_vouched_for"


def told(hand: Hand) -> dict[str, list[str]]:
    rows = fresh(hand).of("incident").values()
    return {row["code"]: row["reasons"] for row in rows if not row["code"].startswith("clock_")}


def report(hand: Hand, start: dict[str, Any], at: datetime) -> dict[str, Any]:
    return hand.done(start, started_at=at.isoformat(), ended_at=at.isoformat())


def test_a_report_alone_brings_no_ended_clearance_back(world: World) -> None:
    """All of it by a clock that is days behind, from a phone that was silent meanwhile."""
    technician = world.technician
    technician.clear(world.client, expires_on=technician.day(days=1))
    technician.later(days=3)
    start = anew(world, -2.5)
    claimed = datetime.fromisoformat(start["started_at"])
    technician.do("complete_visit", report(technician, start, claimed), at=claimed)
    assert Visit.objects.get(pk=start["visit"]).state == "under_review"
    assert "needs_clearance" in told(world.owner)[ALONE]
    assert told(technician) == told(world.owner)


def test_with_its_start_it_is_what_a_phone_without_signal_sends(world: World) -> None:
    technician = world.technician
    technician.clear(world.client, expires_on=technician.day(days=1))
    technician.later(days=3)
    start = anew(world, -2.5)
    claimed = datetime.fromisoformat(start["started_at"])
    technician.deliver(
        technician.envelope("start_visit", start, at=claimed),
        technician.envelope("complete_visit", report(technician, start, claimed), at=claimed),
    )
    assert Visit.objects.get(pk=start["visit"]).state == "completed"
    assert told(world.owner) == {}


def test_offline_all_day_raises_nothing(world: World) -> None:
    technician = world.technician
    start = technician.ready(world.client, health=NEEDS_WORD)
    technician.clear(world.client)
    both = [
        technician.envelope("start_visit", start),
        technician.envelope("complete_visit", technician.done(start)),
    ]
    receipts = technician.later(hours=9).deliver(*both)
    assert [(r.status, r.incidents) for r in receipts] == [("applied", [])] * 2


@pytest.mark.parametrize(("changed", "reasons"), [(False, None), (True, ["referral_unanswered"])])
def test_a_report_alone_is_doubted_only_where_it_makes_a_difference(
    world: World, changed: bool, reasons: list[str] | None
) -> None:
    technician = world.technician
    start = technician.ready(world.client)
    began = technician.now
    if changed:
        world.owner.later(hours=1).screen(world.client, REFERRED, seen_screens=[start["screen"]])
    technician.later(hours=2)
    technician.do("complete_visit", report(technician, start, began), at=began)
    known = told(world.owner)
    assert (known[ALONE][:1] if ALONE in known else None) == reasons


def test_a_client_who_died_meanwhile(world: World) -> None:
    technician = world.technician
    start = technician.ready(world.client)
    began = technician.now
    technician.later(hours=23)
    if technician.day() == began.date().isoformat():
        technician.later(hours=1)
    changes = {"status": "died", "status_since": technician.day()}
    world.owner.do("amend_client", {"client": world.client, "seen": 10_000, "changes": changes})
    technician.do("complete_visit", report(technician, start, began), at=began)
    assert "died" in told(world.owner)[ALONE]


def test_a_start_that_was_refused_when_it_came_is_told_of_all_the_same(world: World) -> None:
    """The server heard of it in time; that the booking was gone says nothing against the hour."""
    technician = world.technician
    start = {**technician.ready(world.client), "booking": ident()}
    began = technician.now
    assert technician.no("start_visit", start) == "not_found"
    world.owner.later(hours=1).screen(world.client, REFERRED, seen_screens=[start["screen"]])
    technician.later(hours=2)
    technician.do("complete_visit", report(technician, start, began), at=technician.now)
    assert set(told(world.owner)) == {"visit_names_unknown"}


def test_a_start_that_came_too_late_to_be_believed_speaks_for_nothing(world: World) -> None:
    """The phone had spoken since the claimed moment, and its start was refused for its booking."""
    technician = world.technician
    technician.clear(world.client, expires_on=technician.day(days=1))
    technician.later(days=2).register()
    technician.later(days=1)
    start = {**anew(world, -2.5), "booking": ident()}
    claimed = datetime.fromisoformat(start["started_at"])
    assert technician.no("start_visit", start, at=claimed) == "not_found"
    technician.do("complete_visit", report(technician, start, claimed), at=claimed)
    assert "needs_clearance" in told(world.owner)[ALONE]


def test_of_refused_starts_the_newest_are_looked_at(
    world: World, monkeypatch: pytest.MonkeyPatch
) -> None:
    """However many wait: each must be opened to tell of which visit it is."""
    monkeypatch.setattr(vouching, "MOST", 3)
    technician = world.technician
    start = technician.ready(world.client, health=REFERRED)
    asked = [{**start, "visit": ident()} for _ in range(5)]
    for one in asked:
        technician.later(seconds=1).no("start_visit", one)
    client = Client.objects.get(pk=world.client)
    with CaptureQueriesContext(connection) as queries:
        found = [len(vouching.refused_starts(client, UUID(one["visit"]))) for one in asked]
    assert found == [0, 0, 1, 1, 1]
    assert sum("LIMIT 3" in query["sql"] for query in queries) == len(asked)
