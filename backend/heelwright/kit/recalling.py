"""Which clients are reached by a cycle or a machine that turned out bad."""

from django.db.models import QuerySet

from heelwright.kit.facts import as_check, checks_of
from heelwright.kit.models import Load, MachineCheck, Use
from heelwright.kit.rules.recalls import doubt


def in_doubt_by(check: MachineCheck) -> QuerySet[Load]:
    """The cycles on which a failed check casts doubt; none for one that passed."""
    of_machine = Load.objects.filter(machine=check.machine_id)
    if check.passed:
        return of_machine.none()
    span = doubt(as_check(check), checks_of([check.machine_id])[check.machine_id])
    if span.until is not None:
        of_machine = of_machine.filter(started_at__lt=span.until)
    if span.since is not None:
        from_then = "started_at__gte" if span.with_since else "started_at__gt"
        of_machine = of_machine.filter(**{from_then: span.since})
    return of_machine


def reached_by(loads: QuerySet[Load]) -> QuerySet[Use]:
    """The uses of sets that came from these cycles, the newest first."""
    uses = Use.objects.filter(loads__in=loads).distinct()
    return uses.select_related("client", "step__thing").order_by("-used_at", "pk")
