"""What one phone piles up must not hold the others up. Check: our own rule (0097 and invariant 7 of
docs/sync.md)."""

from django.db import connection
from django.test.utils import CaptureQueriesContext

from heelwright.commandlog.models import Incident
from heelwright.intake.records import MOST_TOGETHER
from tests.factories import screen_args
from tests.world import Hand, World


def piled(hand: Hand, client: str, count: int) -> list[str]:
    """Screens that know of none, in one delivery; their ids."""
    made = [
        screen_args(client=client, screened_at=hand.stamp(seconds=number), seen_screens=[])
        for number in range(count)
    ]
    hand.later(minutes=1)
    receipts = hand.deliver(*[hand.envelope("record_screen", args) for args in made])
    assert {receipt.status for receipt in receipts} == {"applied"}
    return [str(args["screen"]) for args in made]


def test_of_too_many_screens_that_stand_together_the_client_is_held(world: World) -> None:
    """All of them well: it is their number alone. One that has seen them all frees again."""
    hand = world.technician
    screens = piled(hand, world.client, MOST_TOGETHER)
    ready = hand.ready_ids(world.client)
    looked = {"screen": screens[-1], "check": hand.check(world.client, screens[-1])}
    last = piled(hand, world.client, 1)
    start = {**ready, **looked, "screen": last[0], "started_at": hand.stamp()}
    assert hand.no("start_visit", start) == "questions_open"
    again = hand.screen(world.client, seen_screens=[*screens, *last])
    hand.do("start_visit", {**start, "screen": again, "started_at": hand.stamp()})
    assert not Incident.objects.filter(client_ref=world.client).exists()


def test_no_statement_more_for_each_of_them(world: World) -> None:
    hand = world.technician
    spent = []
    for count in (MOST_TOGETHER, 5 * MOST_TOGETHER):
        client = hand.register()
        start = hand.later(hours=2).ready(client)
        piled(hand, client, count)
        start["started_at"] = hand.stamp()
        with CaptureQueriesContext(connection) as queries:
            hand.no("start_visit", start)
        spent.append(len(queries))
    assert spent[0] == spent[1]
