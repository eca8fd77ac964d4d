"""Finding a client and checking that the actor may have them, in one step."""

from datetime import date
from uuid import UUID

from heelwright.commandlog.act import Act, fresh_id
from heelwright.declarations import About, Refused
from heelwright.people.models import Client, Facility
from heelwright.people.rules import away, away_on
from heelwright.tenancy.models import Practice, Staff

SCOPES = (Client, Facility, Staff, Practice)


def client_for(act: Act, client_id: UUID, field: str = "client") -> Client:
    """The client a command is about; sets the act's subject. A card that was merged into another
    leads to that one, so that what was entered without signal in the meantime finds it.

    Raises Refused for a client of another practice, and, where the command is a permission, for one
    outside the actor's scope. A report about such a client is kept: the care has been given.
    """
    client = Client.objects.filter(practice=act.practice, pk=client_id).first()
    if client is not None and client.merged_into is not None:
        client = client.merged_into
    if client is None or not (act.is_report or act.sees(client.pk)):
        raise Refused(
            "not_found",
            "This client was not found among yours.",
            "Sync, then look for the client again.",
            field=field,
        )
    act.subject = client.pk
    return client


def not_away(client: Client, day: date | None = None) -> None:
    """Raise Refused for a client who gets no visits now, or got none on a day. Why, the card says
    and a refusal does not."""
    if away(client) if day is None else away_on(client, day):
        raise Refused(
            "client_away",
            "By the card, this client gets no visits at present.",
            "Look at the card. If this is not so, correct it there first.",
            field="client",
            about=About("client", client.pk),
        )


def facility_for(act: Act, facility_id: UUID) -> Facility:
    """A facility of the practice; raises Refused where there is none, or a coordinator may not see
    it."""
    facility = Facility.objects.filter(practice=act.practice, pk=facility_id).first()
    if facility is None or (act.role == "coordinator" and not act.sees(facility.pk)):
        raise Refused(
            "not_found",
            "This facility was not found.",
            "Sync, then choose the facility again.",
            field="facility",
        )
    return facility


def fresh_scope(scope: UUID, field: str) -> None:
    """Raise Refused where a new client, facility or person gets an id that any of them has.

    Their ids say who sees what and which key seals: one id for two things would join the two.
    """
    for model in SCOPES:
        fresh_id(model, scope, field)


def give_client(act: Act, staff: Staff, client: Client) -> None:
    """Let a person have a client, and tell the others that they do."""
    if act.grant(staff, client.pk):
        act.announce(client)


def take_client(act: Act, staff: Staff, client: Client) -> None:
    if act.withdraw(staff, client.pk):
        act.announce(client)
