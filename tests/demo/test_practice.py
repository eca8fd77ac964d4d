"""The practice that is loaded is the one that `demo_data/` describes.

Source of the numbers asked for: the project's own requirement (no outside source).
"""

from collections import Counter, defaultdict
from collections.abc import Iterator
from dataclasses import replace
from datetime import date, datetime, timedelta
from itertools import pairwise
from uuid import UUID
from zoneinfo import ZoneInfo

import pytest

from heelwright import evidence, vault
from heelwright.commandlog.models import CommandRecord, Incident
from heelwright.declarations import Days
from heelwright.intake.facts import facts_about
from heelwright.intake.models import FootCheck
from heelwright.intake.rules import standing
from heelwright.kit.facts import facts_of
from heelwright.kit.models import Load, MachineCheck, Thing, Use
from heelwright.people.models import Client, Facility
from heelwright.rulebook import book_for
from heelwright.schedule.models import Booking, Round, TimeOff, Waiting
from heelwright.schedule.rounds import stops_of
from heelwright.settings.demonstration.load import Loaded
from heelwright.takings.models import Invoice, Sale, SoldTo
from heelwright.tenancy.models import Device, Practice, Staff
from heelwright.trips.log import mileage_log
from heelwright.trips.models import TravelDay
from heelwright.visits.models import Visit
from tests.demo.conftest import NOW
from tests.demo.phone_rows import on_file, rows_for_packing

# `make demo` is served on SQLite alone.
pytestmark = [pytest.mark.django_db, pytest.mark.one_database]


@pytest.fixture(autouse=True)
def opened_keys(loaded: Loaded) -> Iterator[None]:
    with vault.unit():
        yield


def named() -> dict[str, Client]:
    return {client.name: client for client in Client.objects.all()}


def test_has_the_people_and_places_asked_for(loaded: Loaded) -> None:
    roles = Counter(staff.role for staff in Staff.objects.filter(practice=loaded.practice))
    assert roles == {"owner": 1, "technician": 2, "coordinator": 1}
    assert Facility.objects.count() == 2
    assert len(named()) == Client.objects.count() == 60


def test_is_marked_invented_and_reaches_nobody(loaded: Loaded) -> None:
    assert Practice.objects.get(pk=loaded.practice).invented
    addresses = [staff.email for staff in Staff.objects.all()]
    addresses += [client.email for client in Client.objects.all() if client.email]
    # RFC 2606 and RFC 6761 keep these two for examples (published).
    assert all(address.endswith((".example", ".invalid")) for address in addresses)
    # Ofcom keeps 01632 960000 to 960999 for fiction (from memory).
    phones = [client.phone for client in Client.objects.all() if client.phone]
    assert phones and all(phone.startswith("01632 960") for phone in phones)


def test_every_command_was_applied(loaded: Loaded) -> None:
    assert set(CommandRecord.objects.values_list("status", flat=True)) == {"applied"}
    assert CommandRecord.objects.count() == loaded.commands > 2000


def test_the_chain_of_evidence_stands_and_holds_every_command(loaded: Loaded) -> None:
    result = evidence.verify(loaded.practice)
    assert result.stands
    assert result.links == loaded.commands


def test_only_the_intended_incidents_wait_for_the_owner(loaded: Loaded) -> None:
    events = [client.event for client in loaded.scenario.clients if client.event]
    slips = {"too_fast", "softener_too_long"}
    intended = Counter(
        ("outside_limits" if event.what in slips else event.what, bool(event.closed))
        for event in events
        if event.what in {*slips, "entered_in_error"}
    )
    assert intended.total() == 3
    incidents = Incident.objects.all()
    assert Counter((i.code, i.closed_at is not None) for i in incidents) == intended


def test_only_visits_past_a_limit_are_under_review(loaded: Loaded) -> None:
    states = Counter(Visit.objects.values_list("state", flat=True))
    assert states["under_review"] == 2
    assert set(states) == {"completed", "under_review"}
    assert states["completed"] > 400


def test_each_client_stands_as_described_if_answered_as_usual_today(loaded: Loaded) -> None:
    clients = named()
    for described in loaded.scenario.clients:
        facts = facts_about(clients[described.name], NOW)
        asked_now = replace(
            facts,
            screened_at=facts.screened_at and NOW,
            checked_at=facts.checked_at and NOW,
        )
        assert list(standing(asked_now).reasons) == described.held_by, described.name


def test_each_kind_is_judged_as_described(loaded: Loaded) -> None:
    clients = named()
    for described in loaded.scenario.clients:
        newest = FootCheck.objects.filter(client=clients[described.name]).order_by("checked_at")
        last = newest.last()
        if last is None or "refer_first" in described.held_by:
            continue
        outcome = loaded.scenario.kinds[described.kind].outcome
        assert last.judgement["outcome"] == outcome, described.name


def test_the_history_is_a_year_of_visits_four_to_eight_weeks_apart(loaded: Loaded) -> None:
    first = Visit.objects.earliest("started_at").started_at
    assert timedelta(weeks=48) < NOW - first <= timedelta(weeks=52)
    for client in Client.objects.all():
        starts = Booking.objects.filter(client=client).order_by("starts_at")
        gaps = [
            (later - sooner).days
            for sooner, later in pairwise(starts.values_list("starts_at", flat=True))
        ]
        # A day at the weekend or a full one moves it by a few days.
        assert all(4 * 7 - 5 <= gap <= 8 * 7 + 5 for gap in gaps)


def test_each_technician_has_five_or_six_bookings_today_at_different_times(
    loaded: Loaded,
) -> None:
    zone = ZoneInfo(loaded.scenario.practice.zone)
    for staff in Staff.objects.exclude(role="coordinator"):
        starts = [
            booking.starts_at.astimezone(zone)
            for booking in Booking.objects.filter(staff=staff, state="booked")
            if booking.starts_at.astimezone(zone).date() == NOW.date()
        ]
        assert 5 <= len(starts) <= 6
        assert len(set(starts)) == len(starts)


def test_some_clients_are_due_and_not_booked(loaded: Loaded) -> None:
    due = [client for client in loaded.scenario.clients if client.overdue_by]
    assert len(due) >= 6
    for client in due:
        ahead = Booking.objects.filter(client=named()[client.name], starts_at__gt=NOW)
        assert not ahead.exists()


def test_cracks_shrink_over_the_year(loaded: Loaded) -> None:
    cracked = 0
    for client in Client.objects.all():
        checks = list(FootCheck.objects.filter(client=client).order_by("checked_at"))
        for finding in checks[0].findings if len(checks) > 3 else ():
            if finding["what"] == "crack":
                last = next(f for f in checks[-1].findings if f["id"] == finding["id"])
                assert last["depth_mm"] < 0.6 * finding["depth_mm"]
                assert last["length_mm"] < 0.6 * finding["length_mm"]
                cracked += 1
    assert cracked >= 15


def test_sets_stand_in_every_main_state_today(loaded: Loaded) -> None:
    """As kit.yaml tells of yesterday evening."""
    things = {thing.label: thing for thing in Thing.objects.all()}
    facts = facts_of(thing for thing in things.values() if thing.kind == "set")
    stands = {label: facts[it.pk].standing(NOW) for label, it in things.items() if it.pk in facts}
    who = {str(staff.pk): staff.name.split()[0] for staff in Staff.objects.all()}
    assert {
        label: (it.state, *it.reasons, *([who[it.staff or ""]] if it.state == "out" else []))
        for label, it in stands.items()
    } == {
        "SETS-001W": ("out", "Tobias"),
        "SETS-002X": ("out", "Tobias"),
        "SETS-003Y": ("out", "Maren"),
        "SETS-004Z": ("out", "Hana"),
        "SETS-010P": ("clean",),
        "SETS-011Q": ("drying",),
        "SETS-012R": ("out", "Maren"),
        "SETS-013S": (
            "washing",
            "interrupted",
            "time_not_read",
            "heat_not_read",
            "indicator_not_read",
        ),
        "SETS-014T": ("dirty", "out_of_date"),
        "SETS-015V": ("dirty",),
        "SETS-016W": ("unclear", "told_apart"),
        "SETS-017X": ("clean",),
    }


def test_each_visit_of_four_weeks_used_a_set_from_a_cycle_and_nothing_else_is_told(
    loaded: Loaded,
) -> None:
    visits = Visit.objects.filter(started_at__gt=NOW - timedelta(weeks=4) + timedelta(days=1))
    uses = Use.objects.exclude(step=None).prefetch_related("loads")
    assert sorted(use.visit_ref for use in uses) == sorted(visit.pk for visit in visits)
    assert len(uses) > 8
    assert all(not use.flags and use.loads.count() == 1 for use in uses)
    # Gloves, a mask, a buffer, wipes, and what the surfaces were wiped with.
    assert Use.objects.filter(step=None).count() == 5 * len(uses)
    assert Load.objects.exclude(faults=[]).count() == 0


def test_a_machine_runs_one_cycle_at_a_time(loaded: Loaded) -> None:
    runs: dict[UUID | None, list[tuple[datetime, datetime]]] = defaultdict(list)
    for load in Load.objects.exclude(machine=None).order_by("started_at"):
        runs[load.machine_id].append((load.started_at, load.ends.get().ended_at))
    assert sum(len(of) for of in runs.values()) > 10
    for of in runs.values():
        assert all(over < begun for (_, over), (begun, _) in pairwise(of))


def test_technicians_told_of_six_weeks_of_travel_but_the_last_day(loaded: Loaded) -> None:
    """By their visits' places and the odometer; of one day each the last way is a guess."""
    names = set(named())
    for staff in Staff.objects.exclude(role="coordinator"):
        days = list(TravelDay.objects.filter(staff=staff).order_by("day"))
        assert len(days) >= 3
        legs = [leg for day in days for leg in day.legs]
        assert [leg["known"] for leg in legs].count("estimate") == 1
        assert all(leg["start"] and leg["end"] for leg in legs)
        assert not any(name in leg["start"] + leg["end"] for leg in legs for name in names)
        for day in days:
            told = (day.odometer_end or 0) - (day.odometer_start or 0)
            assert told == sum(leg["tenths"] for leg in day.legs)
        visited = Visit.objects.filter(staff=staff, started_at__lt=NOW).latest("started_at")
        assert days[-1].day < visited.started_at.date()


def test_what_was_driven_comes_to_amounts_by_the_rates_of_its_place(loaded: Loaded) -> None:
    """A guessed way to none: `tests/trips` and `tests/standards` check the amounts themselves."""
    device = Device.objects.filter(staff__role="owner").latest("pk")
    told = mileage_log(device, Days(NOW.date() - timedelta(weeks=6), NOW.date()))
    amount, known = told["columns"].index("Amount"), told["columns"].index("Known by")
    priced = {row[known] for row in told["rows"] if row[amount]}
    assert priced == {"Odometer"}
    assert told["years"]


def test_each_check_of_its_place_was_made_in_time_but_that_of_the_bath(loaded: Loaded) -> None:
    """Days between two of a kind, and since the last one, by the book; read the day after."""
    asked = book_for(loaded.scenario.practice.place).content.machine_checks
    late = set()
    for machine in Thing.objects.filter(kind="machine"):
        for check in asked:
            if (kind := machine.card["machine"]) in check.machines:
                made = MachineCheck.objects.filter(machine=machine, kind=check.id)
                days = [one.tested_at.date() for one in made.order_by("tested_at")]
                gaps = [(b - a).days for a, b in pairwise([*days, NOW.date()])]
                assert gaps, (kind, check.id)
                late |= {check.id for gap in gaps if gap > check.every_days}
    assert late == {"ultrasonic_foil"}


def test_a_month_was_sold_but_the_last_day_and_some_is_still_due(loaded: Loaded) -> None:
    sales = list(Sale.objects.order_by("day"))
    assert {sale.paid for sale in sales} >= {"cash", "card", "not_yet"}
    assert {sale.currency for sale in sales} == {"GBP"}
    assert any(line["kind"] == "product" for sale in sales for line in sale.lines)
    assert {sale.lines[0]["price"] for sale in sales if sale.facility_id} == {"24.00"}
    visits = Visit.objects.filter(started_at__lt=NOW)
    told = {sale.visit for sale in sales}
    assert visits.latest("started_at").pk not in told
    assert SoldTo.objects.count() == len(sales) > 5


def test_the_closed_round_is_billed_and_another_facility_can_be(loaded: Loaded) -> None:
    closed = Round.objects.get(state="closed")
    (invoice,) = Invoice.objects.all()
    assert (invoice.number, invoice.facility_id) == (101, closed.facility_id)
    assert invoice.day == closed.day + timedelta(days=1)
    billed = Sale.objects.filter(pk__in=invoice.sales)
    seen = Visit.objects.filter(booking__in=stops_of(closed).filter(state="done"))
    assert {sale.visit for sale in billed} == {visit.pk for visit in seen}
    assert len(billed) == 3
    owed = Sale.objects.exclude(facility=None).exclude(pk__in=invoice.sales)
    assert {sale.paid for sale in owed} == {"not_yet"}
    at_home = {sale.paid for sale in Sale.objects.filter(facility=None)}
    assert {"not_yet", "card"} <= at_home


def test_one_round_is_closed_with_somebody_not_seen_and_one_is_planned(loaded: Loaded) -> None:
    closed, planned = Round.objects.order_by("day")
    assert (closed.state, planned.state) == ("closed", "planned")
    assert timedelta() < NOW.date() - closed.day <= timedelta(days=8)
    assert timedelta() < planned.day - NOW.date() <= timedelta(days=3)
    answers = Counter(stop.state for stop in stops_of(closed))
    assert answers == {"done": 3, "not_seen": 1}
    missed = stops_of(closed).get(state="not_seen")
    assert (missed.client.name, missed.reason) == ("Millicent Farrowdene", "asleep")
    assert Counter(stop.state for stop in stops_of(planned)) == {"booked": 3}


def test_days_off_a_repeat_and_wishes_lie_ahead(loaded: Loaded) -> None:
    off = list(TimeOff.objects.all())
    assert {time_off.staff and time_off.staff.name for time_off in off} == {None, "Hana Quillby"}
    assert all(NOW.date() < time_off.first <= time_off.last for time_off in off)
    repeated = Booking.objects.exclude(series=None).order_by("starts_at")
    assert len({visit.series for visit in repeated}) == 1
    assert len(repeated) == 3
    own_times = [client for client in Client.objects.all() if client.visit_times]
    assert len(own_times) == 2
    firsts = [date.fromisoformat(entry.wish["first"]) for entry in Waiting.objects.all()]
    assert sorted((first - NOW.date()).days for first in firsts) == [1, 14]


def test_the_packing_list_is_checked_with_the_rows_of_this_practice(loaded: Loaded) -> None:
    found = rows_for_packing(loaded.scenario.practice.staff["tobias"].email)
    assert on_file(found) == found, "HEELWRIGHT_WRITE=1 writes tests/demo/packing.json anew"
