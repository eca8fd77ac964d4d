"""Residents taken in by one command, all or nothing. Check: our own rule."""

import json
from base64 import b64encode
from typing import Any
from uuid import UUID

import pytest

from heelwright import evidence
from heelwright.commandlog.models import CommandRecord, Incident, LoggedArgs
from heelwright.people.models import Client
from tests.database import everything, without_log
from tests.factories import client_args, ident
from tests.run_length import runs
from tests.sync.http import Wire, told
from tests.sync.phone_model import PhoneModel, fresh
from tests.world import Hand, World


def new(number: int, **more: Any) -> dict[str, Any]:
    letters = "".join(chr(97 + int(digit)) for digit in str(number))
    born = f"19{30 + number % 40}-0{1 + number % 9}-{10 + number % 18}"
    card = {"name": f"In{letters} Vented{letters}", "born": born, "room": str(number)}
    return {"client": ident(), **card, **more}


def args(world: World, **more: Any) -> dict[str, Any]:
    return {"facility": world.facility, **more}


def changed(client: str, **changes: Any) -> dict[str, Any]:
    return {"client": client, "seen": 10_000, "changes": changes}


def test_everyone_who_has_the_house_sees_whom_it_took_in(world: World) -> None:
    people = [new(1), new(2, see_last=True, corridor="North")]
    phones = [PhoneModel(hand).sync() for hand in (world.technician, world.coordinator)]
    world.coordinator.do(
        "import_residents", args(world, new=people, changed=[changed(world.resident, room="9")])
    )
    for phone in phones:
        rows = phone.sync().rows
        assert rows == fresh(phone.hand).rows
        seen = phone.of("client")
        assert [seen[UUID(one["client"])]["room"] for one in people] == ["1", "2"]
        assert seen[UUID(people[1]["client"])]["see_last"] is True
        assert seen[UUID(world.resident)]["room"] == "9"
    colleague = fresh(world.colleague).of("client")
    assert UUID(people[0]["client"]) not in colleague
    # What is done about one of them afterwards is as for any other.
    world.technician.screen(people[0]["client"])


@pytest.mark.parametrize(
    ("spoil", "refusal"),
    [
        (lambda _: {"new": [new(1), new(2, born="2090-01-01")]}, "date_too_late new.1.born"),
        (lambda _: {"new": [new(1), new(2, born="1900-12-31")]}, "date_too_early new.1.born"),
        (
            lambda w: {"changed": [changed(w.resident, born="9999-12-31")]},
            "date_too_late changed.0.changes.born",
        ),
        (
            lambda w: {"changed": [changed(w.resident, status_since="0001-01-01")]},
            "date_too_early changed.0.changes.status_since",
        ),
        (
            lambda w: {"changed": [changed(w.resident, status_since="9999-12-31")]},
            "date_too_late changed.0.changes.status_since",
        ),
        (lambda w: {"new": [new(1), new(2, client=w.client)]}, "id_taken new.1.client"),
        (lambda _: {"new": [new(1), new(2, name="")]}, "too_short new.1.name"),
        (lambda _: {"new": [new(1), new(2, note="Diabetic")]}, "unknown_field new.1.note"),
        (
            lambda w: {"new": [new(1)], "changed": [changed(w.client, room="1")]},
            "not_found changed.0.client",
        ),
        (
            lambda w: {"changed": [changed(w.resident, room="1"), changed(w.resident, room="2")]},
            "not_found changed.1.client",
        ),
        (
            lambda w: {"new": [new(1)], "changed": [changed(w.resident, name=None)]},
            "missing_field changed.0.changes.name",
        ),
    ],
)
def test_one_that_is_wrong_keeps_all_out(world: World, spoil: Any, refusal: str) -> None:
    before = without_log(everything())
    no = world.coordinator.send("import_residents", args(world, **spoil(world))).refusal
    assert no is not None
    assert f"{no.code} {no.field}" == refusal
    assert without_log(everything()) == before


def test_a_change_that_somebody_else_made_meanwhile_is_no_ones_loss(world: World) -> None:
    change = {"client": world.resident, "seen": 10_000, "changes": {"room": "20"}}
    world.owner.do("amend_client", change)
    stale = {**changed(world.resident, room="9"), "seen": 0}
    both = args(world, new=[new(1)], changed=[stale])
    no = world.coordinator.send("import_residents", both).refusal
    assert no is not None
    assert (no.code, no.field) == ("changed_elsewhere", "changed.0.changes.room")
    assert Client.objects.get(pk=world.resident).room == "20"


def test_who_is_a_client_elsewhere_is_told_to_the_owner_alone(world: World) -> None:
    """As where one is entered by hand: a coordinator must not learn whom else the practice has."""
    theirs = client_args(name="Known Invented", born="1938-05-04")
    world.colleague.do("register_client", theirs)
    taken = new(1, name="Known Invented", born="1938-05-04")
    receipt = world.coordinator.do("import_residents", args(world, new=[taken, new(2)]))
    assert receipt.incidents == []
    (raised,) = Incident.objects.filter(code="client_entered_twice", client_ref=taken["client"])
    assert raised.owners_only
    assert raised.reasons == [theirs["client"]]


def test_each_is_logged_under_their_own_key(world: World) -> None:
    people = [new(1), new(2)]
    world.coordinator.do("import_residents", args(world, new=people))
    record = CommandRecord.objects.get(name="import_residents", status="applied")
    parts = {part.subject: part.sealed for part in LoggedArgs.objects.filter(command=record)}
    assert parts == {
        world.practice.pk: {
            "facility": world.facility,
            "clients": [one["client"] for one in people],
        },
        **{UUID(one["client"]): one for one in people},
    }
    assert evidence.verify(world.practice.pk).faults == ()
    LoggedArgs.objects.get(command=record, subject=people[0]["client"]).delete()
    assert evidence.verify(world.practice.pk).faults != ()


def test_taking_in_many_takes_few_queries(world: World, django_assert_max_num_queries: Any) -> None:
    people = [new(number) for number in range(runs(300, 10_000))]
    with django_assert_max_num_queries(100 + len(people) // 10):
        world.coordinator.do("import_residents", args(world, new=people))
    assert Client.objects.filter(facility_id=UUID(world.facility)).count() == len(people) + 1


def test_a_file_is_read_for_whoever_has_the_house(world: World) -> None:
    csv = "Name,Date of birth,Room\nAna Invented,1941-03-31,4\nBo Invented,1941,5\n"
    whole = b64encode(csv.encode()).decode()
    body = {"protocol": 2, "facility": world.facility, "file": whole}

    def read(hand: Hand, **more: Any) -> Any:
        named = {**body, "device": str(hand.device.pk), **more}
        return Wire(hand).post("/api/residents/read", named)

    before = everything()
    answer = read(world.coordinator)
    assert answer.status_code == 200, answer.content
    found = json.loads(answer.content)["report"]
    assert [one["card"]["name"] for one in found["new"]] == ["Ana Invented"]
    assert [(one["code"], one["lines"]) for one in found["problems"]] == [("date_a_number", [3])]
    assert found["missing"] == [world.resident]
    empty = json.loads(read(world.coordinator, file="").content)
    assert (empty["report"], empty["no_list"]["code"]) == (None, "file_empty")
    other = ident()
    assert told(read(world.technician))["code"] == "not_allowed"
    assert told(read(world.stranger))["code"] == "not_found"
    assert told(read(world.coordinator, facility=other))["code"] == "not_found"
    for broken in ("abc", "!!!!", f"{whole} ", f"{whole[:8]}\n{whole[8:]}"):
        no = told(read(world.coordinator, file=broken))
        assert (no["code"], no["field"]) == ("not_base64", "file")
    assert everything() == before
