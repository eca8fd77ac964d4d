"""Pulls: pages, scopes that come and go, and what a role never gets."""

import json

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from heelwright.commandlog.models import FeedRow
from heelwright.declarations import Refused
from heelwright.sync import cursor as cursors
from heelwright.sync import pull as pulling
from heelwright.sync.cursor import Cursor
from tests.factories import HEALTHY, NEEDS_WORD, REFERRED, clearance_args
from tests.sync.phone_model import PhoneModel, fresh
from tests.world import Hand, World

MARK = "01a20000-0000-7000-8000-000000000001"


@pytest.fixture
def short_pages(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(pulling, "PAGE", 3)


def test_pages_join_up_to_one_pull(world: World, short_pages: None) -> None:
    world.technician.ready(world.client)
    phone = fresh(world.owner)
    assert phone.pages > 3
    assert len(phone.rows) == FeedRow.objects.filter(practice=world.practice).count()


@pytest.mark.parametrize("who", ["owner", "technician", "coordinator", "colleague"])
def test_writes_between_the_pages_are_all_there_in_the_end(
    world: World, short_pages: None, who: str
) -> None:
    hand = world.hands[who]
    world.technician.ready(world.client)
    phone = PhoneModel(hand)
    for turn in range(40):
        page = phone.take(hand.pull(phone.cursor))
        if turn < 5:
            world.technician.later(minutes=1)
            client = world.technician.register(facility=world.facility)
            world.technician.do(
                "amend_client",
                {"client": world.resident, "seen": 10_000, "changes": {"phone": str(turn)}},
            )
            world.owner.do("assign_client", {"client": client, "staff": world.colleague.id})
            if turn % 2:
                world.owner.do("unassign_client", {"client": client, "staff": world.colleague.id})
        elif not page.more:
            break
    else:
        pytest.fail("the pull never ends")
    assert phone.sync().rows == fresh(hand).rows


def test_a_scope_that_is_given_comes_whole_and_one_taken_goes(world: World) -> None:
    start = world.technician.ready(world.client)
    phone = fresh(world.colleague)
    assert not phone.of("client")
    share = {"client": world.client, "staff": world.colleague.id}
    world.technician.do("assign_client", share)
    phone.sync()
    assert str(next(iter(phone.of("health_screen")))) == start["screen"]
    assert phone.rows == fresh(world.colleague).rows
    world.owner.do("unassign_client", share)
    page = phone.take(world.colleague.pull(phone.cursor))
    assert [str(scope) for scope in page.forget] == [world.client]
    assert not phone.of("client")
    assert not phone.of("health_screen")
    assert (
        world.colleague.no(
            "amend_client", {"client": world.client, "seen": 1, "changes": {"phone": "1"}}
        )
        == "not_found"
    )
    world.owner.do("assign_client", share)
    assert phone.sync().rows == fresh(world.colleague).rows
    assert phone.of("client")


def test_a_client_who_moves_out_of_the_facility_leaves_its_coordinator(world: World) -> None:
    phone = fresh(world.coordinator)
    assert {str(id_) for id_ in phone.of("client")} == {world.resident}
    world.owner.do(
        "amend_client", {"client": world.resident, "seen": 10_000, "changes": {"facility": None}}
    )
    assert not phone.sync().of("client")
    assert phone.rows == fresh(world.coordinator).rows


def test_a_coordinator_never_gets_a_health_answer(world: World) -> None:
    """A byte search of every page a coordinator can be sent, for words typed in health fields."""
    marker, technician, resident = "zqxmarker7", world.technician, world.resident
    technician.do("amend_client", {"client": resident, "seen": 10_000, "changes": {"note": marker}})
    start = technician.ready(resident, health=HEALTHY | {"question_of_next_year": marker})
    technician.screen(resident, NEEDS_WORD, answered_by_name=marker)
    referral = technician.screen(resident, REFERRED)
    technician.answer(referral, answer=marker, clinician=marker)
    technician.do(
        "record_clearance",
        clearance_args(
            client=resident,
            given_on=technician.day(),
            expires_on=technician.day(),
            scope=marker,
            clinician=marker,
        ),
    )
    technician.consent(resident, authority=marker, signer_name=marker, witness=marker)
    technician.do("complete_visit", technician.done(start, note=marker, stop_signs=[marker]))
    cancelled = technician.book(resident, starts_at=technician.stamp(days=2))
    technician.do("cancel_booking", {"booking": cancelled, "seen": 10_000, "reason": marker})
    seen = _everything_pulled(world.coordinator)
    assert marker not in seen
    for word in ("refer_first", "needs_clearance", "hurt_foot", "kidney", "answers", "findings"):
        assert word not in seen
    assert resident in seen
    assert marker in _everything_pulled(technician)


def _everything_pulled(hand: Hand) -> str:
    page = hand.pull()
    pages = [page.model_dump_json()]
    while page.more:
        page = hand.pull(page.cursor)
        pages.append(page.model_dump_json())
    return "".join(pages)


def test_an_idle_pull_asks_the_database_nothing_beyond_who_it_is(world: World) -> None:
    phone = fresh(world.technician)
    with CaptureQueriesContext(
        connection,
    ) as asked:
        page = world.technician.pull(phone.cursor)
    assert len(asked) == 1  # the device with its person and practice: the sign-in itself
    assert (page.rows, page.more, page.cursor) == ([], False, phone.cursor)


def test_the_last_page_holds_the_effects_of_all_that_it_has_receipts_for(
    world: World, short_pages: None
) -> None:
    """A phone is killed between two pages, sends what it has, and goes on with the pages: where the
    server says that there is no more, what was sent is among the rows (invariant 4 of
    docs/sync.md)."""
    hand = world.technician
    phone = PhoneModel(hand)
    assert phone.take(hand.pull()).more
    sent = hand.register()
    page = phone.take(hand.pull(phone.cursor))
    while page.more:
        page = phone.take(hand.pull(phone.cursor))
    assert page.next_seq == hand.seq + 1
    assert sent in {str(id_) for id_ in phone.of("client")}


def test_a_reset_says_so_on_its_first_page_only(world: World, short_pages: None) -> None:
    first = world.owner.pull()
    assert first.reset
    assert first.more
    assert not world.owner.pull(first.cursor).reset


@pytest.mark.parametrize(
    "text",
    [
        "x", "e30", "bnVsbA==", "W10=", "\ud800", "=" * 400,
        Cursor(done=5, mark="not an id").write(),
        Cursor(done=-1, mark=MARK).write(),
        Cursor(done=True, mark=MARK).write(),
        Cursor(upper=2**70, upper_mark=MARK).write(),
        Cursor(upper=2**10, upper_mark="").write(),
    ],
)  # fmt: skip
def test_a_cursor_that_nobody_wrote(text: str) -> None:
    with pytest.raises(Refused) as told:
        cursors.read(text)
    assert (told.value.code, told.value.field) == ("bad_cursor", "cursor")


def test_the_owner_sees_devices_and_others_do_not(world: World) -> None:
    devices = fresh(world.owner).of("device")
    assert world.technician.device.pk in devices
    assert devices[world.revoked.device.pk]["revoked_at"] is not None
    assert not fresh(world.technician).of("device")
    assert "token" not in json.dumps(list(devices.values()))
