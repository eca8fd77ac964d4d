"""Whose yes it is: nobody gives permission to themselves, and the owner hears of what rests on
less than a clinician's word from outside the practice.

Names are compared, nothing else: who is a clinician, the app doesn't know.
"""

from django.db.models import Model

from heelwright.commandlog.act import Act
from heelwright.declarations import Refused
from heelwright.people.models import Client
from heelwright.people.rules import same_name
from heelwright.tenancy.models import Staff


def of_somebody_else(act: Act, clinician: str) -> None:
    """Raise Refused where whoever writes a yes down names themselves as the clinician."""
    if same_name(clinician, act.staff.name):
        raise Refused(
            "own_word",
            "A yes must come from a clinician who is not the one writing it down.",
            "Write who said it.",
            field="clinician",
        )


def tell_of_team(act: Act, about: Model, clinician: str, client: Client) -> None:
    """Tell the owner where the clinician is one of the team, who may be one by trade."""
    team = Staff.objects.filter(practice=act.practice, ended_at=None).values_list("name", flat=True)
    if any(same_name(clinician, name) for name in team):
        act.raise_incident("clinician_of_team", about, [], client.pk)
