"""What holds of a server and its phones when nobody is speaking. The numbers are those of the
invariants in docs/sync.md."""

from uuid import UUID

from django.db.models import Max

from heelwright.commandlog.models import (
    Access,
    CommandRecord,
    FeedMark,
    FeedRow,
    LoggedArgs,
    Redelivery,
)
from heelwright.commandlog.wire import Envelope
from heelwright.evidence import verify
from heelwright.tenancy.models import Device, Practice
from tests.sync.crowd import Crowd, Person
from tests.sync.phone_model import fresh
from tests.sync.work import Work


def check_numbers(practice_id: UUID) -> None:
    """6: numbers are unique, none is above the newest, and that one has its mark."""
    practice = Practice.objects.get(pk=practice_id)
    numbers = list(FeedRow.objects.filter(practice=practice).values_list("seq", flat=True))
    assert len(set(numbers)) == len(numbers)
    given = Access.objects.filter(practice=practice)
    highest = given.aggregate(since=Max("since"), until=Max("until")).values()
    assert max([*numbers, *(n for n in highest if n)]) <= practice.feed_seq
    newest = FeedMark.objects.filter(practice=practice).order_by("-seq").first()
    assert newest is not None
    assert (newest.seq, newest.mark) == (practice.feed_seq, practice.feed_mark)


def check_order(device: Device) -> None:
    """3: a device's commands have its numbers, each once, without gaps."""
    device.refresh_from_db(fields=["last_seq"])
    taken = [
        number
        for log in (CommandRecord, Redelivery)
        for number in log._default_manager.filter(device=device).values_list("seq", flat=True)
    ]
    assert sorted(taken) == list(range(1, device.last_seq + 1))


def check_sights(crowd: Crowd, work: Work, person: Person) -> None:
    """4: a pull that holds a receipt holds its effects."""
    made = {e.seq: e for e in person.outbox}
    for sight in person.phone.sights:
        if sight.device != person.hand.device.pk:
            continue
        for seq in range(1, sight.next_seq):
            envelope = made.get(seq)
            if envelope is not None and _stands(crowd, work, envelope):
                assert work.effects[envelope.id][1] in sight.rows, envelope.name
    person.phone.sights.clear()


def _stands(crowd: Crowd, work: Work, envelope: Envelope) -> bool:
    """Whether a command is known to have made a row that nothing has taken out of sight."""
    answer, effect = crowd.answers.first.get(envelope.id), work.effects.get(envelope.id)
    if answer is None or answer.refusal is not None or effect is None:
        return False
    client = envelope.args["client"]
    return client not in work.disturbed and effect[0] not in work.removed


def check_phone(crowd: Crowd, person: Person) -> None:
    """5 and 7: rows equal a fresh pull, and are of its own practice and scopes."""
    rows = person.phone.sync().rows
    assert rows == fresh(person.hand).rows, person.name
    staff = person.hand.staff
    feed = FeedRow.objects.filter(practice=staff.practice_id)
    assert set(rows) <= set(feed.values_list("kind", "row_id"))
    if staff.role != "owner":
        access = Access.objects.filter(staff=staff, until=None)
        assert {row[0] for row in rows.values()} <= set(access.values_list("scope", flat=True))


def check_log(envelopes: list[Envelope]) -> None:
    """1 and 8: each command is in the log once, and all that was typed can be read again."""
    ids = {envelope.id: envelope.args for envelope in envelopes}
    logged = LoggedArgs.objects.filter(command__in=ids).select_related("command")
    kept = {entry.command_id: entry.sealed for entry in logged}
    assert kept == ids
    assert len(logged) == len(ids)


def check_evidence(practice: UUID) -> None:
    assert verify(practice).stands
