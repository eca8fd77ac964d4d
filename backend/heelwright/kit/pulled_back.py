"""Tells of cycles that turned out bad after what came out of them was used: the owner, and each
technician who used it."""

from dataclasses import replace

from django.db.models import QuerySet

from heelwright.commandlog.act import Act
from heelwright.declarations import Role
from heelwright.kit.facts import loads_by_id
from heelwright.kit.models import Load, MachineCheck
from heelwright.kit.recalling import in_doubt_by, reached_by
from heelwright.kit.rules.loads import Outcome, outcome
from heelwright.tenancy.models import Staff


def outcome_of(load: Load) -> Outcome:
    return outcome(loads_by_id([load.pk])[str(load.pk)])


def tell_of_load(act: Act, load: Load, before: Outcome) -> None:
    """Once, when it turns bad: whoever uses it after that is told then. The clients are those of
    the uses of this cycle: they are listed where the entry leads."""
    if before.state == "again" or not load.uses.exists():
        return
    ended = outcome_of(load)
    if ended.state == "again":
        act.raise_incident("cycle_failed", load, list(ended.reasons))
        _tell_users(act, load, Load.objects.filter(pk=load.pk))


def tell_of_check(act: Act, check: MachineCheck) -> None:
    act.raise_incident("machine_failed", check, [check.kind])
    _tell_users(act, check, in_doubt_by(check))


def _tell_users(act: Act, about: Load | MachineCheck, loads: QuerySet[Load]) -> None:
    """An owner, and whoever tells of it, know already."""
    used_by = reached_by(loads).order_by().values("staff")
    others = Staff.objects.filter(pk__in=used_by).exclude(role=Role.OWNER)
    for staff in others.exclude(pk=act.staff.pk).order_by("pk"):
        replace(act, staff=staff).raise_incident("used_called_back", about, [], of_own_doing=True)
