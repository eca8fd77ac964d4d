"""Tells the owner of cycles that turned out bad after what came out of them was used."""

from heelwright.commandlog.act import Act
from heelwright.kit.facts import loads_by_id
from heelwright.kit.models import Load, MachineCheck
from heelwright.kit.rules.loads import outcome


def tell_of_load(act: Act, load: Load) -> None:
    """The clients are those of the uses of this cycle: they are listed where the entry leads."""
    if not load.uses.exists():
        return
    ended = outcome(loads_by_id([load.pk])[str(load.pk)])
    if ended.state == "again":
        act.raise_incident("cycle_failed", load, list(ended.reasons))


def tell_of_check(act: Act, check: MachineCheck) -> None:
    act.raise_incident("machine_failed", check, [check.kind])
