"""Pushes: gaps, retries, clones, lost replies, order."""

from dataclasses import replace
from datetime import timedelta

import pytest

from heelwright.commandlog import registry
from heelwright.commandlog.act import Act
from heelwright.commandlog.models import CommandRecord, LoggedArgs
from heelwright.commandlog.receive import DeviceCloned
from heelwright.declarations import Refused
from heelwright.evidence import verify
from heelwright.people.models import Client
from tests.database import everything, without_log
from tests.factories import client_args, consent_args
from tests.sync.phone_model import fresh
from tests.world import World


def test_a_gap_is_held_back_and_so_is_what_follows(world: World) -> None:
    hand = world.technician
    first, second, third = (hand.envelope("register_client", client_args()) for _ in range(3))
    assert [r.status for r in hand.deliver(first, third)] == ["applied", "held_back"]
    before = everything()
    assert [r.status for r in hand.deliver(third)] == ["held_back"]
    assert everything() == before
    assert [r.status for r in hand.deliver(second, third)] == ["applied", "applied"]
    assert [r.status for r in hand.deliver(first, second, third)] == ["already_applied"] * 3


def test_the_same_number_with_other_content_applies_nothing_of_the_push(world: World) -> None:
    hand = world.technician
    sent = hand.envelope("register_client", client_args())
    hand.deliver(sent)
    other = sent.model_copy(update={"args": client_args()})
    new = hand.envelope("register_client", client_args())
    before = everything()
    for push in ([other], [new, other], [other, new]):
        with pytest.raises(DeviceCloned):
            hand.deliver(*push)
        assert everything() == before
    assert hand.deliver(new)[0].status == "applied"


def test_any_difference_is_a_clone(world: World) -> None:
    hand = world.technician
    sent = hand.envelope("register_client", client_args())
    hand.deliver(sent)
    for change in (
        {"made_at": sent.made_at + timedelta(seconds=1)},
        {"rulebook": "v2"},
        {"name": "amend_client"},
    ):
        with pytest.raises(DeviceCloned):
            hand.deliver(sent.model_copy(update=change))


def test_one_id_under_two_numbers_is_a_clone_where_the_content_differs(world: World) -> None:
    hand = world.technician
    sent = hand.envelope("register_client", client_args())
    again = hand.envelope("register_client", client_args()).model_copy(update={"id": sent.id})
    before = everything()
    with pytest.raises(DeviceCloned):
        hand.deliver(sent, again)
    assert everything() == before


def test_a_refusal_moves_on_and_leaves_everything_typed_in_the_log(world: World) -> None:
    hand = world.technician
    wrong = hand.envelope("register_client", client_args(name="", note="zqxmarker7"))
    right = hand.envelope("register_client", client_args())
    assert [r.status for r in hand.deliver(wrong, right)] == ["refused", "applied"]
    kept = LoggedArgs.objects.get(command_id=wrong.id)
    assert kept.sealed["note"] == "zqxmarker7"
    assert kept.subject == world.practice.pk


def test_a_refused_command_about_a_client_is_sealed_under_that_client(world: World) -> None:
    hand = world.technician
    wrong = hand.envelope("sign_consent", consent_args(client=world.client, strokes=[]))
    hand.deliver(wrong)
    assert str(LoggedArgs.objects.get(command_id=wrong.id).subject) == world.client


def test_feed_numbers_go_up_by_one_and_a_refusal_takes_one_for_its_mark(world: World) -> None:
    hand = world.technician
    world.practice.refresh_from_db()
    before = world.practice.feed_seq
    hand.no("register_client", client_args(name=""))
    hand.no("register_client", client_args(facility=world.client))
    world.practice.refresh_from_db()
    assert world.practice.feed_seq == before + 2
    hand.register()
    world.practice.refresh_from_db()
    # The card, who has it, and the card again with who has it.
    assert world.practice.feed_seq == before + 5


def test_a_refusal_half_way_takes_its_rows_and_its_numbers_back(
    world: World, monkeypatch: pytest.MonkeyPatch
) -> None:
    spec = registry.commands()["register_client"]

    def half(act: Act, args: object) -> None:
        spec.apply(act, args)
        raise Refused("second_thoughts", "No.", "Nothing needs doing.")

    monkeypatch.setitem(registry._commands, spec.name, replace(spec, apply=half))
    hand = world.technician
    before = without_log(everything())
    assert hand.no("register_client", client_args()) == "second_thoughts"
    assert without_log(everything()) == before


def test_everyone_who_asked_is_in_the_log_and_the_chain_holds(world: World) -> None:
    hand = world.technician
    hand.no("register_client", client_args(name=""))
    hand.register()
    seqs = CommandRecord.objects.filter(device=hand.device).order_by("seq")
    assert list(seqs.values_list("seq", flat=True)) == list(range(1, hand.seq + 1))
    checked = verify(world.practice.pk)
    assert checked.stands, checked


def test_a_command_that_is_not_known_does_not_stop_the_next(world: World) -> None:
    hand = world.technician
    unknown = hand.envelope("abolish_gravity", {"client": world.client})
    known = hand.envelope("register_client", client_args())
    receipts = hand.deliver(unknown, known)
    assert receipts[0].refusal is not None
    assert (receipts[0].refusal.code, receipts[0].refusal.field) == ("unknown_command", "name")
    assert receipts[1].status == "applied"


def test_an_id_that_would_join_two_scopes_is_refused(world: World) -> None:
    """A client with the practice's own id would be seen by all and sealed under its key."""
    hand = world.technician
    for taken in (str(world.practice.pk), hand.id, world.facility, world.stranger.id):
        assert hand.no("register_client", client_args(client=taken)) == "id_taken"
    assert not Client.objects.filter(pk=world.practice.pk).exists()


def test_the_other_practice_sees_nothing(world: World) -> None:
    before = fresh(world.stranger).rows
    world.technician.ready(world.client)
    assert fresh(world.stranger).rows == before
    ours = {id_ for _, id_ in fresh(world.owner).rows}
    assert not ours & {id_ for _, id_ in before}


def test_only_a_version_of_a_book_is_kept_in_the_clear(world: World) -> None:
    hand = world.technician
    version, other = "0f" * 32, "what somebody wrote"
    sent = [
        hand.envelope("register_client", client_args()).model_copy(update={"rulebook": edition})
        for edition in (version, other)
    ]
    hand.deliver(*sent)
    kept = CommandRecord.objects.filter(device=hand.device).order_by("-seq")[:2]
    assert [record.rulebook for record in kept] == ["", version]
