"""Somebody who works alone is expected back; whom they named is told where they are not.

Common practice, no source. That a word goes out at least once is our own choice (decision 0206).
"""

from datetime import timedelta
from smtplib import SMTPServerDisconnected
from typing import Any

import pytest
from django.core import mail as mails
from django.core.mail import EmailMessage

from heelwright.lone_work import tasks
from heelwright.lone_work.models import Watch
from tests.factories import watch_args
from tests.sync.phone_model import fresh
from tests.world import Hand, World

pytestmark = pytest.mark.django_db


def watched(hand: Hand, **more: Any) -> str:
    args = watch_args(**{"back_by": hand.stamp(hours=2), **more})
    hand.do("start_watch", args)
    return str(args["watch"])


def sent() -> list[EmailMessage]:
    return list(mails.outbox)


def tell(hand: Hand, **span: float) -> None:
    tasks.tell_what_is_due(hand.now + timedelta(**span))


def row_of(hand: Hand, watch: str) -> dict[str, Any]:
    return {str(id_): row for id_, row in fresh(hand).of("watch").items()}[watch]


@pytest.fixture
def lost_mail(monkeypatch: pytest.MonkeyPatch) -> Any:
    """A mail server that hangs up, until `lost.clear()`."""
    lost = [True]
    send_it = EmailMessage.send

    def send(mail: EmailMessage, *args: Any) -> int:
        if lost:
            raise SMTPServerDisconnected("the address of somebody")
        return send_it(mail, *args)

    monkeypatch.setattr(EmailMessage, "send", send)
    return lost


def test_who_is_not_back_is_told_of_once_and_at_the_time(world: World) -> None:
    hand = world.technician
    watch = watched(hand)
    tell(hand, hours=2, seconds=-1)
    assert not sent()
    tell(hand, hours=2)
    tell(hand, hours=3)
    [mail] = sent()
    assert mail.to == ["noa@next-door.test"]
    assert hand.staff.name in mail.body
    assert "555 0142" in mail.body
    assert row_of(world.colleague, watch)["alarm"] == "told"


def test_no_client_and_no_place_is_in_the_mail(world: World) -> None:
    hand = world.technician
    hand.book(hand.register(name="Ada Unnamed", address="9 Unsaid Lane"))
    watched(hand)
    tell(hand, hours=2)
    [mail] = sent()
    for word in ("Ada", "Unsaid", "client"):
        assert word not in f"{mail.subject} {mail.body}"


def test_who_is_back_in_time_is_not_told_of(world: World) -> None:
    hand = world.technician
    hand.do("end_watch", {"watch": watched(hand)})
    tell(hand, hours=5)
    assert not sent()


def test_who_stays_longer_says_so(world: World) -> None:
    hand = world.technician
    watch = watched(hand)
    hand.do("move_watch", {"watch": watch, "back_by": hand.stamp(hours=4)})
    tell(hand, hours=3)
    assert not sent()
    tell(hand, hours=4)
    assert len(sent()) == 1


@pytest.mark.parametrize("name", ["end_watch", "move_watch", "start_watch"])
def test_after_an_alarm_any_word_of_theirs_is_passed_on(world: World, name: str) -> None:
    hand = world.technician
    watch = watched(hand)
    tell(hand, hours=2)
    hand.later(hours=2.5)
    args = {
        "end_watch": {"watch": watch},
        "move_watch": {"watch": watch, "back_by": hand.stamp(hours=1)},
        "start_watch": watch_args(back_by=hand.stamp(hours=1)),
    }
    hand.do(name, args[name])
    tell(hand, minutes=1)
    tell(hand, minutes=2)
    assert [mail.subject for mail in sent()] == [
        f"{hand.staff.name} has not checked in",
        f"{hand.staff.name} has checked in",
    ]


def test_one_that_comes_too_late_tells_at_once(world: World) -> None:
    """No signal all day: nobody knows that they are back, until they say so."""
    hand = world.technician
    watched(hand, back_by=hand.stamp(hours=-1))
    tell(hand)
    assert len(sent()) == 1


def test_a_mail_that_did_not_go_is_sent_again_each_minute(
    world: World, lost_mail: list[bool], caplog: pytest.LogCaptureFixture
) -> None:
    hand = world.technician
    watch = watched(hand)
    tell(hand, hours=2)
    assert row_of(hand, watch)["alarm"] == "failed"
    assert "address of somebody" not in caplog.text
    lost_mail.clear()
    tell(hand, hours=2, seconds=30)
    assert not sent()
    tell(hand, hours=2, seconds=60)
    assert len(sent()) == 1
    assert row_of(hand, watch)["alarm"] == "told"


def test_where_a_worker_died_over_it_it_is_told_again(world: World) -> None:
    hand = world.technician
    watch = watched(hand)
    due = hand.now + timedelta(hours=2)
    Watch.objects.filter(pk=watch).update(alarm="sending", alarm_at=due)
    tell(hand, hours=2, minutes=4)
    assert not sent()
    tell(hand, hours=2, minutes=5)
    assert len(sent()) == 1


def test_one_person_has_one_at_a_time(world: World) -> None:
    hand = world.technician
    first = watched(hand)
    second = watched(hand, back_by=hand.stamp(hours=6))
    tell(hand, hours=3)
    assert not sent()
    assert row_of(hand, first)["ended_at"] is not None
    assert row_of(hand, second)["ended_at"] is None


def test_no_further_than_a_day_ahead(world: World) -> None:
    hand = world.technician
    assert hand.no("start_watch", watch_args(back_by=hand.stamp(hours=25))) == "too_far_ahead"


def test_those_who_may_help_see_it_and_a_facility_does_not(world: World) -> None:
    watch = watched(world.technician)
    for hand in (world.owner, world.colleague):
        assert row_of(hand, watch)["tell_name"] == "Noa Next-door"
    for hand in (world.coordinator, world.stranger):
        assert not fresh(hand).of("watch")
