"""How often a person may ask for a record key. Ten an hour: our own rule, no source."""

import json

from django.http import HttpResponse

from tests.sync.http import Wire
from tests.world import Hand, World, phone_of


def ask(hand: Hand) -> HttpResponse:
    body = {"protocol": 2, "device": str(hand.device.pk), "copy": "AAAA"}
    return Wire(hand).post("/api/recovery", body)


def test_an_eleventh_try_within_an_hour_is_refused(world: World) -> None:
    """Of each person by themselves, on whichever of their devices."""
    hands = [world.technician, phone_of(world.technician.staff, world.now)]
    codes = [ask(hands[n % 2]).status_code for n in range(11)]
    assert codes == [400] * 10 + [429]
    told = json.loads(ask(hands[0]).content)
    assert (told["code"], set(told)) == ("too_many", {"code", "field", "text", "remedy"})
    assert told["text"]
    assert told["remedy"]
    assert ask(world.colleague).status_code == 400
