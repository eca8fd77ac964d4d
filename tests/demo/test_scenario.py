"""The scenario by itself, mostly without a database: what today forces, and what chance varies."""

import random
from pathlib import Path
from uuid import UUID, uuid5

import pytest
import yaml
from django.core.management.base import CommandError

from heelwright.declarations import Role
from heelwright.people.rules import age_on
from heelwright.rulebook import book_for
from heelwright.settings.demonstration import care
from heelwright.settings.demonstration.answers import answer_all
from heelwright.settings.demonstration.course import World
from heelwright.settings.demonstration.diary import Diary
from heelwright.settings.demonstration.leaflet import leaflet
from heelwright.settings.demonstration.load import NotAsTold, load
from heelwright.settings.demonstration.log import Log, Sent, deliveries
from heelwright.settings.demonstration.scenario import Client, Event, Scenario, read
from heelwright.settings.demonstration.year import live
from heelwright.settings.management.commands import demo
from heelwright.tenancy.models import Practice
from tests.demo.conftest import FOLDER, NOW
from tests.services.postgres import free_port

SCENARIO = read(FOLDER)
BOOK = book_for(SCENARIO.practice.place or None)
CHANGED = [client for client in SCENARIO.clients if client.today]


def named_id(name: str) -> UUID:
    return uuid5(UUID(int=0), name)


def year(scenario: Scenario, seed: int) -> list[Sent]:
    log = Log(random.Random(seed))
    staff = {key: named_id(key) for key in scenario.practice.staff}
    houses = {key: named_id(key) for key in scenario.practice.facilities}
    diary = Diary(scenario.practice.zone, NOW.date())
    live(World(scenario, BOOK, diary, log, NOW.date(), staff, houses))
    return log.sent


def test_the_same_seed_makes_the_same_year() -> None:
    few = SCENARIO.model_copy(update={"clients": SCENARIO.clients[:12]})
    assert year(few, seed=5) == year(few, seed=5)
    assert year(few, seed=5) != year(few, seed=6)


def test_deliveries_keep_the_order_of_time_and_one_device_each() -> None:
    few = SCENARIO.model_copy(update={"clients": SCENARIO.clients[:25]})
    sent = year(few, seed=5)
    delivered = list(deliveries(sent))
    flat = [command for run in delivered for command in run]
    assert sorted(c.id for c in flat) == sorted(c.id for c in sent)
    assert [c.at for c in flat] == sorted(c.at for c in sent)
    assert all(len({c.staff for c in run}) == 1 and len(run) <= 100 for run in delivered)


def test_ids_are_version_7_and_hold_their_moment() -> None:
    """RFC 9562, section 5.7 (published)."""
    made = Log(random.Random(1)).new_id(NOW)
    assert made.version == 7
    assert made.variant == "specified in RFC 4122"
    assert made.int >> 80 == int(NOW.timestamp() * 1000)


def test_every_question_named_in_the_data_is_in_the_rulebook() -> None:
    named = {*SCENARIO.calm}
    for kind in SCENARIO.kinds.values():
        named |= {*kind.answers}
    for client in SCENARIO.clients:
        named |= {*(client.event.answers if client.event else ())}
        named |= {*(client.today.answers if client.today else ())}
    assert named <= BOOK.question_ids


def test_each_technician_has_one_client_today_who_must_be_referred() -> None:
    technicians = {
        key
        for key, person in SCENARIO.practice.staff.items()
        if person.role is not Role.COORDINATOR
    }
    assert {client.technician for client in CHANGED} == technicians
    assert all(client.booked_in == 0 and client.note for client in CHANGED)


@pytest.mark.parametrize("client", CHANGED, ids=lambda client: str(client.name))
def test_what_is_new_today_forces_its_outcome(client: Client) -> None:
    today, kind = client.today, SCENARIO.kinds[client.kind]
    assert today is not None
    news = Event(what="referred", answers=today.answers, finding=today.finding)
    seen = care.findings(kind, news, [str(n) for n in range(8)], 1.0, random.Random(1))
    age = age_on(client.born, NOW.date())
    told = SCENARIO.calm | kind.answers | today.answers
    health, foot = answer_all(BOOK, told, kind.not_felt, seen, age)
    judged = BOOK.judge(health | foot, seen, age)
    assert judged.complete
    assert judged.outcome == today.outcome == "refer_first"
    usual = SCENARIO.calm | kind.answers
    health, foot = answer_all(BOOK, usual, kind.not_felt, [], age)
    assert BOOK.judge(health | foot, [], age).outcome != "refer_first"


@pytest.mark.django_db
def test_a_load_that_fails_half_way_leaves_nothing(tmp_path: Path) -> None:
    for part in ("practice", "kinds", "calm", "kit"):
        (tmp_path / f"{part}.yaml").write_text((FOLDER / f"{part}.yaml").read_text("utf-8"))
    clients = yaml.safe_load((FOLDER / "clients.yaml").read_text("utf-8"))[:2]
    clients[1]["event"] = {"what": "entered_in_error", "reason": ""}
    (tmp_path / "clients.yaml").write_text(yaml.safe_dump(clients, allow_unicode=True))
    with pytest.raises(NotAsTold, match="mark_entered_in_error: too_short"):
        load(tmp_path, NOW, random.Random(1))
    assert not Practice.objects.exists()


def test_the_leaflet_names_the_address_every_sign_in_and_seven_steps() -> None:
    text = leaflet(SCENARIO, "http://localhost:8000")
    assert "http://localhost:8000" in text
    for person in SCENARIO.practice.staff.values():
        assert person.email in text
        assert person.password in text
    assert max(len(line) for line in text.splitlines()) <= 100
    assert "wash Nail set 1" in text
    assert [f"  {n}. " in text for n in range(1, 9)] == [True] * 7 + [False]
    assert all(name in text for name in ("Invoices", "miles", "door list", "Brackling House"))


def test_a_busy_port_is_told_with_its_remedy() -> None:
    import socket

    with socket.socket() as taken:
        taken.bind((demo.HOST, free_port()))
        taken.listen()
        port = taken.getsockname()[1]
        with pytest.raises(CommandError, match=f"Port {port} is busy.*--port {port + 1}"):
            demo._check_free(port)
