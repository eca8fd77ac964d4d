"""A client signs on their own phone, by a link. Check: our own rules, unless said."""

from heelwright.intake.models import ConsentSheet
from tests.intake.signing import ClientPhone, Link, link, no_tries_before, phone
from tests.world import World

__all__ = ["link", "no_tries_before", "phone"]


def test_a_yes_by_a_link_is_a_sheet(world: World, link: Link, phone: ClientPhone) -> None:
    opened = phone.open()
    assert opened.status_code == 200, opened.content
    answered = phone.done()
    assert (answered.status_code, answered.content) == (200, b'{"received": true}')
    sheet = ConsentSheet.objects.get(pk=link.args["sheet"])
    assert (sheet.device_kind, sheet.how) == ("client_phone", "drawn")
