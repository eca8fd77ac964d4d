"""Notices that one person was entered twice, such as on two phones without signal.

Cards are compared by marks: keyed digests under the practice's key, since names and dates of birth
lie sealed. Practices so have no mark in common. Twins may look alike too: it is a person who says
what came of it.
"""

from collections.abc import Sequence

from django.db.models import Count

from heelwright import vault
from heelwright.commandlog.act import BATCH, Act
from heelwright.commandlog.models import Incident
from heelwright.people.models import Client, ClientLikeness
from heelwright.people.rules import likeness

# Whoever looks at these finds the rest; without a bound each card would tell of all before it.
MOST_TOLD = 5


def note_likeness(act: Act, client: Client) -> None:
    """Mark a card that is new or was changed, and tell of the other cards that it is like.

    Marks of what it said before stay: whoever enters this person by the old name is told as well.
    Who may not see the other card is not told that there is one: they could else try whether
    somebody is a client of a colleague.
    """
    known = {bytes(kept.mark) for kept in ClientLikeness.objects.filter(client=client)}
    for mark in _marks(client) - known:
        ClientLikeness.objects.create(client=client, mark=mark)
    _tell_of_alike(act, client)


def note_new(act: Act, clients: Sequence[Client]) -> None:
    """As `note_likeness`, for many new cards in a few queries: hardly any is like another."""
    marks = [ClientLikeness(client=one, mark=mark) for one in clients for mark in _marks(one)]
    ClientLikeness.objects.bulk_create(marks, batch_size=BATCH)
    shared = (
        ClientLikeness.objects.filter(client__practice=act.practice)
        .values("mark")
        .annotate(cards=Count("client"))
        .filter(cards__gt=1)
        .values_list("mark", flat=True)
    )
    twice = {bytes(mark) for mark in shared}
    named = {kept.client_id for kept in marks if kept.mark in twice}
    for client in clients:
        if client.pk in named:
            _tell_of_alike(act, client)


def _tell_of_alike(act: Act, client: Client) -> None:
    for other in alike(client):
        if not _told(client, other):
            both = [str(other.pk)]
            unseen = not act.sees(other.pk)
            act.raise_incident("client_entered_twice", client, both, client.pk, owners_only=unseen)


def alike(client: Client) -> list[Client]:
    """The first few other clients of the practice who share a mark, in a fixed order."""
    marks = [kept.mark for kept in ClientLikeness.objects.filter(client=client)]
    cards = Client.objects.filter(practice=client.practice, likenesses__mark__in=marks)
    return list(cards.exclude(pk=client.pk).distinct().order_by("pk")[:MOST_TOLD])


def _marks(client: Client) -> set[bytes]:
    return {
        vault.fingerprint(client.practice_id, "likeness", like.encode())
        for like in likeness(client.name, client.born)
    }


def _told(one: Client, other: Client) -> bool:
    """Whether there is an incident of this pair, whichever of them it is about."""
    pair = {str(one.pk), str(other.pk)}
    told = Incident.objects.filter(code="client_entered_twice", about_id__in=pair)
    return any({str(i.about_id), *i.reasons} == pair for i in told)
