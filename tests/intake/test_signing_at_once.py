"""Two phones and one link, on a database that commits. Check: our own rules."""

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from threading import Barrier

import pytest
from django.db import connection
from django.http import HttpResponse

from heelwright.commandlog.models import CommandRecord
from heelwright.evidence import verify
from heelwright.intake.models import ConsentSheet
from heelwright.intake.signing_models import SigningOpening
from tests.intake.signing import ClientPhone, Link, no_tries_before
from tests.world import make_world

__all__ = ["no_tries_before"]
pytestmark = pytest.mark.django_db(transaction=True)


def at_once(*calls: Callable[[], HttpResponse]) -> list[int]:
    together = Barrier(len(calls))

    def call(one: Callable[[], HttpResponse]) -> int:
        try:
            together.wait(timeout=20)
            return one().status_code
        finally:
            connection.close()

    with ThreadPoolExecutor(len(calls)) as threads:
        return sorted(threads.map(call, calls))


def test_one_phone_opens_and_one_answer_is_taken() -> None:
    world = make_world()
    link = Link(world.technician, client=world.client).offered()
    phones = [ClientPhone(link), ClientPhone(link)]
    assert at_once(*(phone.open for phone in phones)) == [200, 409]
    assert SigningOpening.objects.count() == 1
    (first,) = [phone for phone in phones if phone.opened]
    yes, no = first.answer(), first.answer(agreed=False)
    again = at_once(*(lambda told=told: first.post("done", told) for told in (yes, yes, no, no)))
    assert again == [200, 200, 409, 409]
    assert ConsentSheet.objects.count() == 1
    assert CommandRecord.objects.filter(device=link.args["offer"]).count() == 1
    for chain in (world.practice.pk, ConsentSheet.objects.get().client_id):
        assert verify(chain).stands
