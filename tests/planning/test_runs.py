"""Runs of the planner: who may ask, what a worker makes of it, and how it ends. Check: our own
rules."""

import json
import logging
from datetime import timedelta
from typing import Any

import pytest
from django.conf import settings
from django.http import HttpResponse

from heelwright import clock
from heelwright.planning import tasks
from heelwright.planning.models import PlanningRun
from heelwright.planning.rules import planner
from heelwright.schedule.rules.objections import CODES
from tests.sync.http import Wire, told
from tests.world import Hand, World

pytestmark = pytest.mark.django_db

HOME = {"lat": 51.5, "lon": -0.5, "source": "typed", "accuracy_m": None}
DOOR = {**HOME, "lat": 51.6}
# A client seen today with four weeks until the next visit is due in 25 to 31 days.
WEEKS, FIRST, LAST = 4, 25, 31


@pytest.fixture(autouse=True)
def queue(monkeypatch: pytest.MonkeyPatch) -> list[Any]:
    """What goes into the queue; the real ones are in tests/system/test_work.py."""
    sent: list[Any] = []
    monkeypatch.setattr(tasks.make_plan, "delay", lambda *args: sent.append(args))
    return sent


@pytest.fixture(autouse=True)
def quick(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("heelwright.planning.rules.solver.Effort.patience", 50)


def working(hand: Hand, **more: Any) -> None:
    days = [{"weekday": day, "starts": "09:00", "ends": "17:00", "breaks": []} for day in range(7)]
    hand.do("set_working_week", {"staff": hand.id, "seen": 0, "days": days, **more})
    hand.do("set_base", {"staff": hand.id, "seen": 0, "position": HOME})


def due(hand: Hand, service: str = "", took: int = 0, **card: Any) -> str:
    """A client whose visit today was signed off."""
    client = hand.register(**{"position": DOOR, "name": "Ada Unnamed", **card})
    seen(hand, client, service, took)
    return client


def seen(hand: Hand, client: str, service: str, took: int) -> None:
    at = {"starts_at": hand.stamp(days=hand.seq), "service": service}
    booking = hand.book(client, **at, meant=list(CODES))
    start = hand.ready(client, booking=booking)
    hand.do("start_visit", start)
    hand.now += timedelta(minutes=took)
    hand.do("complete_visit", hand.done(start, weeks_until_next=WEEKS))


def days_of(hand: Hand, **more: Any) -> dict[str, Any]:
    return {"first": hand.day(days=FIRST), "last": hand.day(days=LAST), "staff": [hand.id], **more}


def ask(hand: Hand, asked: dict[str, Any]) -> HttpResponse:
    body = {"protocol": 2, "device": str(hand.device.pk), "asked": asked}
    return Wire(hand).post("/api/planning/runs", body)


def asked_by(hand: Hand, **more: Any) -> Any:
    reply = ask(hand, days_of(hand, **more))
    assert reply.status_code == 200, reply.content
    return json.loads(reply.content)


def newest(hand: Hand) -> Any:
    wire = Wire(hand)
    reply = wire.client.get("/api/planning/runs/newest", headers=wire.authorization())
    return json.loads(reply.content)["run"]


def made(hand: Hand, **more: Any) -> Any:
    tasks.make_plan(asked_by(hand, **more)["run"])
    run = newest(hand)
    assert (run["state"], run["percent"]) == ("done", 100)
    return run["plan"]


def test_who_is_due_is_proposed_and_what_is_proposed_can_be_booked(
    world: World, queue: list[Any]
) -> None:
    hand = world.technician
    working(hand)
    client = due(hand)
    plan = made(hand)
    [day] = plan["days"]
    [visit] = day["visits"]
    assert (visit["client"], visit["booking"], day["staff"]) == (client, None, hand.id)
    assert (plan["not_placed"], plan["without_hours"], plan["guessed"]) == ([], [], True)
    # Out and back: about eleven kilometres by the straight line, each way.
    assert plan["planned"] == plan["by_hand"]
    assert 22_000 < plan["planned"]["metres"] < 40_000
    assert plan["planned"]["metres"] == day["metres"]
    arranged = {
        "booking": world.technician.device.pk.hex,
        "seen": None,
        "staff": day["staff"],
        **{name: visit[name] for name in ("client", "starts_at", "minutes", "place", "service")},
    }
    hand.do("arrange_visits", {"visits": [arranged], "meant": []})
    # Who is booked is not due any more, and stays where they are.
    [day] = made(hand)["days"]
    assert [one["booking"] is not None for one in day["visits"]] == [True]
    assert [isinstance(item, str) for args in queue for item in args] == [True, True]


def test_what_is_fixed_stays_and_who_is_left_out_stays_out(world: World) -> None:
    hand = world.technician
    working(hand)
    one, other = due(hand), due(hand)
    at = f"{hand.day(days=FIRST + 2)}T13:05:00Z"
    fixed = {"client": one, "staff": hand.id, "starts_at": at}
    plan = made(hand, fixed=[fixed], left_out=[other])
    [day] = plan["days"]
    [visit] = day["visits"]
    assert (visit["client"], visit["fixed"], visit["starts_at"]) == (one, True, at)
    assert plan["not_placed"] == []


def test_a_visit_takes_as_long_as_those_before(world: World) -> None:
    """As the form of a booking proposes it: by the book, and of two visits their middle."""
    hand = world.technician
    working(hand)
    once = due(hand)
    twice = due(hand, service="nails", took=22)
    seen(hand, twice, "nails", 24)
    visits = {visit["client"]: visit for day in made(hand)["days"] for visit in day["visits"]}
    usual = {client: (visit["service"], visit["minutes"]) for client, visit in visits.items()}
    assert usual == {once: ("foot_care", 60), twice: ("nails", 25)}


def test_why_somebody_is_not_placed(world: World) -> None:
    hand = world.technician
    working(hand)
    nowhere, skilled = due(hand, position=None), due(hand, needs_skills=["Nail surgery"])
    found = {one["client"]: one["reason"] for one in made(hand)["not_placed"]}
    assert found == {nowhere: "no_door", skilled: "no_skill"}
    working(world.colleague)
    assert made(world.colleague)["not_placed"] == []


def test_without_hours_nobody_is_planned(world: World) -> None:
    hand = world.technician
    client = due(hand)
    plan = made(hand)
    assert plan["without_hours"] == [hand.id]
    assert plan["not_placed"] == [{"client": client, "reason": "no_skill"}]


@pytest.mark.parametrize(
    ("who", "change", "code", "field"),
    [
        ("coordinator", {}, "not_allowed", None),
        ("technician", {"staff": "colleague"}, "not_yours", "staff"),
        ("owner", {"staff": "coordinator"}, "not_found", "staff"),
        ("owner", {"staff": "stranger"}, "not_found", "staff"),
        ("technician", {"first": -1, "last": 5}, "wrong_days", "first"),
        ("technician", {"first": 500, "last": 500}, "wrong_days", "first"),
        ("technician", {"first": 1, "last": 0}, "wrong_days", None),
        ("technician", {"first": 1, "last": 15}, "wrong_days", None),
        ("technician", {"staff": None}, "too_short", "asked.staff"),
    ],
)
def test_what_can_not_be_asked(
    world: World, who: str, change: dict[str, Any], code: str, field: str | None
) -> None:
    hand = world.hands[who]
    asked = days_of(hand)
    for name, value in change.items():
        if name == "staff":
            asked["staff"] = [world.hands[value].id] if value else []
        else:
            asked[name] = hand.day(days=value)
    error = told(ask(hand, asked))
    assert error["code"] == code
    if field:
        assert error["field"] == field
    assert not PlanningRun.objects.exists()


def test_an_owner_plans_for_others_and_only_who_asked_reads_it(world: World) -> None:
    working(world.technician)
    due(world.technician)
    plan = made(world.owner, staff=[world.technician.id])
    assert [day["staff"] for day in plan["days"]] == [world.technician.id]
    assert newest(world.technician) is None
    assert newest(world.stranger) is None


def test_a_cancelled_run_ends_and_says_so(world: World, monkeypatch: pytest.MonkeyPatch) -> None:
    hand = world.technician
    working(hand)
    due(hand)
    run = asked_by(hand)["run"]
    wire = Wire(hand)
    other = Wire(world.colleague)

    def cancelled_meanwhile(_: Any, __: Any, hear: Any) -> None:
        assert newest(hand)["state"] == "running"
        other.post(f"/api/planning/runs/{run}/cancel", b"")
        hear(0.1)
        wire.post(f"/api/planning/runs/{run}/cancel", b"")
        monkeypatch.setattr(tasks, "SECONDS_BETWEEN", 0)
        hear(0.2)
        raise AssertionError("it goes on")

    monkeypatch.setattr(planner, "propose", cancelled_meanwhile)
    tasks.make_plan(run)
    assert newest(hand)["state"] == "cancelled"
    # A worker that gets it once more leaves it.
    tasks.make_plan(run)
    assert newest(hand)["state"] == "cancelled"


def test_who_asks_again_calls_off_what_they_asked_before(world: World) -> None:
    first = asked_by(world.technician)["run"]
    second = asked_by(world.technician)["run"]
    assert newest(world.technician)["run"] == second
    # It is never read again, so it is dropped, and a worker finds nothing to do.
    assert not PlanningRun.objects.filter(pk=first).exists()
    tasks.make_plan(first)
    assert newest(world.technician)["state"] == "waiting"


def test_a_clock_that_was_set_back_makes_no_older_one_the_newest(
    world: World, monkeypatch: pytest.MonkeyPatch
) -> None:
    hand = world.technician
    monkeypatch.setattr(clock, "now", lambda: hand.now)
    first = asked_by(hand)["run"]
    second = asked_by(hand.later(minutes=-5))["run"]
    assert newest(hand)["run"] == second
    assert not PlanningRun.objects.filter(pk=first).exists()


def test_a_client_is_kept_at_one_time(world: World) -> None:
    hand = world.technician
    kept = {
        "client": world.client,
        "staff": hand.id,
        "starts_at": f"{hand.day(days=FIRST)}T13:05:00Z",
    }
    other = kept | {"starts_at": f"{hand.day(days=FIRST)}T15:00:00Z"}
    error = told(ask(hand, days_of(hand, fixed=[kept, other])))
    assert (error["code"], error["field"]) == ("named_twice", "asked.fixed")
    assert not PlanningRun.objects.exists()


def test_a_worker_that_died_leaves_a_run_that_says_so(world: World) -> None:
    hand = world.technician
    run = asked_by(hand)["run"]
    long_ago = clock.now() - timedelta(seconds=31)
    PlanningRun.objects.filter(pk=run).update(state="running", heard_at=long_ago)
    assert (newest(hand)["state"], newest(hand)["trouble"]) == ("failed", "worker_lost")
    old = clock.now() - timedelta(minutes=11)
    PlanningRun.objects.filter(pk=run).update(state="waiting", asked_at=old)
    assert (newest(hand)["state"], newest(hand)["trouble"]) == ("failed", "not_begun")
    assert asked_by(hand)["state"] == "waiting"


def test_what_goes_wrong_is_told_without_a_word_of_it(
    world: World, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    def wrong(*_: Any) -> None:
        raise ValueError("Ada Unnamed")

    hand = world.technician
    monkeypatch.setattr(planner, "propose", wrong)
    with caplog.at_level(logging.DEBUG):
        tasks.make_plan(asked_by(hand)["run"])
    assert (newest(hand)["state"], newest(hand)["trouble"]) == ("failed", "fault")
    assert "ValueError" in caplog.text
    assert "Unnamed" not in caplog.text


def test_a_queue_that_is_away_is_said_and_leaves_no_run(
    world: World, monkeypatch: pytest.MonkeyPatch
) -> None:
    def away(*_: Any) -> None:
        raise OSError

    monkeypatch.setattr(tasks.make_plan, "delay", away)
    reply = ask(world.technician, days_of(world.technician))
    assert (reply.status_code, json.loads(reply.content)["code"]) == (503, "queue_away")
    assert newest(world.technician) is None


def test_runs_are_forgotten_after_a_week(world: World) -> None:
    run = asked_by(world.technician)["run"]
    tasks.forget_plans()
    assert newest(world.technician)["run"] == run
    PlanningRun.objects.update(asked_at=clock.now() - timedelta(days=7, minutes=1))
    tasks.forget_plans()
    assert newest(world.technician) is None


def later(**more: Any) -> None:
    PlanningRun.objects.update(heard_at=clock.now() - timedelta(**more))
    tasks.forget_plans()


def test_a_run_that_was_stopped_is_forgotten_in_an_hour(world: World) -> None:
    hand = world.technician
    run = asked_by(hand)["run"]
    Wire(hand).post(f"/api/planning/runs/{run}/cancel", {})
    later(minutes=59)
    assert newest(hand)["state"] == "cancelled"
    later(minutes=61)
    assert not PlanningRun.objects.exists()


def test_a_plan_is_forgotten_once_all_of_it_is_booked(world: World) -> None:
    hand = world.technician
    working(hand)
    due(hand), due(hand)
    visits = [visit for day in made(hand)["days"] for visit in day["visits"]]
    assert len(visits) == 2
    for visit in visits:
        # One of two that is booked leaves the plan.
        later(days=1)
        assert newest(hand)["state"] == "done"
        hand.book(visit["client"], starts_at=visit["starts_at"], meant=list(CODES))
    later(minutes=59)
    assert newest(hand)["state"] == "done"
    later(minutes=61)
    assert newest(hand) is None


def test_no_task_runs_longer_than_it_may() -> None:
    from heelwright.planning.rules.solver import Effort

    assert Effort().seconds < settings.CELERY_TASK_TIME_LIMIT / 10
