"""Closing an incident: a person has looked at it and says what came of it."""

from uuid import UUID

from pydantic import Field

from heelwright.commandlog.act import Act
from heelwright.commandlog.models import Incident
from heelwright.commandlog.registry import command
from heelwright.commandlog.wire import Args
from heelwright.declarations import Power, Refused


class CloseIncident(Args):
    incident: UUID
    note: str = Field(min_length=1, max_length=4000)


@command(Power.PERMISSION, CloseIncident)
def close_incident(act: Act, args: CloseIncident) -> None:
    incident = Incident.objects.filter(practice=act.practice, pk=args.incident).first()
    if incident is None:
        raise Refused("not_found", "This entry was not found.", "Sync and look again.", "incident")
    act.subject = incident.client_ref
    if incident.closed_at is not None:
        raise Refused("closed_already", "Somebody has closed this already.", "Nothing needs doing.")
    incident.closed_at = act.by_now(act.made_at)
    incident.closed_by = act.staff
    incident.closing_note = args.note
    act.put(incident)
