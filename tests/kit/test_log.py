"""The log that an inspector asks for. Its lines: date, time, by whom, what it came after, Cal. Code
Regs. 16 CCR 980.3 (published, for foot basins; taken as the model); each autoclave's cycles, tests
and faults in a log book: Podiatry Review, May-June 2014 (published)."""

import csv
import io
import re
from pathlib import Path
from typing import Any

import pytest
from django.test import Client as Browser
from pypdf import PdfReader

from heelwright.kit import cycles
from heelwright.kit.log_words import REASONS
from heelwright.kit.models import Step
from heelwright.kit.rules import loads
from tests.kit.conftest import Kit
from tests.kit.hands import mix_args, product_card
from tests.kit.test_sets import begun
from tests.world import Hand

pytestmark = pytest.mark.django_db


def asked(hand: Hand, first: str, last: str, form: str = "csv") -> Any:
    headers = {"Authorization": f"Bearer {hand.token}"}
    query = {"from": first, "to": last, "form": form}
    return Browser().get("/api/documents/kit_log", query, headers=headers)


def log_of(hand: Hand, form: str = "csv") -> Any:
    """Of two days: the work may run past midnight."""
    return asked(hand, hand.day(), hand.day(days=1), form)


def rows(hand: Hand) -> list[dict[str, str]]:
    answer = log_of(hand)
    assert answer.status_code == 200, answer.content
    return list(csv.DictReader(io.StringIO(answer.content.decode("utf-8-sig"))))


def a_days_work(kit: Kit) -> None:
    hand = kit.technician
    kit.world.technician.later(hours=1)
    hand.through(kit.machine, kit.set)
    hand.give(kit.set, begun(kit.world.technician, kit.world.client))
    hand.move(kit.set, "soil", note="The nippers are blunt")
    hand.send()
    hand.check(kit.machine, passed=False)
    product = hand.register(product_card())
    at = {"mixed_at": hand.hand.stamp(), "keeps_until": hand.hand.stamp(hours=8)}
    hand.do("mix_solution", mix_args(product=product, **at))
    signed = {"occasion": "end_of_day", "items": {"waste_out": "not_done"}}
    named = {"checklist": product, "signed_at": hand.hand.stamp(), "note": ""}
    hand.do("sign_checklist", {**signed, **named})


def test_it_tells_what_was_done_how_and_by_whom(kit: Kit) -> None:
    a_days_work(kit)
    told = rows(kit.world.owner)
    assert [row["What"] for row in told] == [
        "Cycle",
        "Washed",
        "Checklist: End of the day",
        "Disinfectant mixed",
        "Dried and packed",
        "Put into the dirty box",
        "Spore test",
        "Used on a client",
    ]
    cycle = told[0]
    assert "held 4 minutes, 134 °C, indicator passed" in cycle["How"]
    assert cycle["Result"] == "Does not count: a check of the machine failed"
    assert {row["By"] for row in told} == {kit.world.technician.staff.name}
    assert told[5]["Note"] == "The nippers are blunt"
    assert "1000 ml of 5000 ppm from 5.25 %" in told[3]["How"]


def test_it_says_which_start_was_told_afterwards(kit: Kit) -> None:
    """When the phone says that it was told: common practice, no source."""
    hand = kit.technician
    ready = product_card(stock_percent=None, use_ppm=None, mixed_keeps_hours=None)
    soak = {"product": hand.register(ready)}
    hand.start(kit.set, **soak)
    hand.start(kit.set, **soak, started_at=hand.hand.stamp(minutes=-10))
    told = hand.hand.now
    hand.hand.later(hours=2)
    hand.send()
    late, at_once = (row["How"] for row in rows(kit.world.owner) if row["What"] == "Cycle")
    assert f"; told at {told:%Y-%m-%d %H:%M}" in late
    assert "told at" not in at_once


def test_it_names_no_client(kit: Kit) -> None:
    a_days_work(kit)
    text = str(rows(kit.world.owner))
    assert kit.world.client not in text and "Client Invented" not in text


def test_paper_and_table_say_the_same(kit: Kit) -> None:
    a_days_work(kit)
    answer = log_of(kit.world.owner, "pdf")
    pages = PdfReader(io.BytesIO(answer.content)).pages
    printed = re.sub(r"\s+", "", "".join(page.extract_text() for page in pages))
    for row in rows(kit.world.owner):
        for cell in row.values():
            assert re.sub(r"\s+", "", cell)[:20] in printed


def test_a_day_ends_at_midnight_where_the_practice_is(kit: Kit) -> None:
    """The world's practice keeps the time of its zone, whatever the server's clock shows."""
    step = kit.technician.move(kit.set, "wash")
    kit.technician.send()
    kit.world.practice.zone = "Pacific/Auckland"
    kit.world.practice.save()
    from datetime import UTC, datetime

    Step.objects.filter(pk=step).update(at=datetime(2026, 3, 31, 10, 59, tzinfo=UTC))
    told = asked(kit.world.owner, "2026-03-31", "2026-03-31").content.decode("utf-8-sig")
    assert "2026-03-31,23:59,Washed" in told
    Step.objects.filter(pk=step).update(at=datetime(2026, 3, 31, 11, 1, tzinfo=UTC))
    told = asked(kit.world.owner, "2026-03-31", "2026-03-31").content.decode("utf-8-sig")
    assert "Washed" not in told


@pytest.mark.parametrize(("who", "status"), [("technician", 200), ("coordinator", 404)])
def test_who_gets_it(kit: Kit, who: str, status: int) -> None:
    hand = kit.world.hands[who]
    assert asked(hand, hand.day(), hand.day()).status_code == status


def test_another_practice_sees_nothing_of_it(kit: Kit) -> None:
    a_days_work(kit)
    assert rows(kit.world.stranger) == []


def test_every_reason_has_words() -> None:
    sources = "".join(Path(str(module.__file__)).read_text() for module in (loads, cycles))
    codes = set(re.findall(r'yield "([a-z_]+)"|^        "([a-z_]+)": ', sources, re.MULTILINE))
    found = {one or other for one, other in codes} | {"process_unknown", "pulled_back"}
    assert found - {"running", "complete", "again"} <= REASONS.keys()
