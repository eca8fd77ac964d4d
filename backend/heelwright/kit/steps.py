"""What happens to a set, as reported: never refused for what it says, since it has happened."""

from collections.abc import Iterable
from typing import Any
from uuid import UUID

from heelwright.commandlog.act import Act, fresh_id
from heelwright.commandlog.registry import command
from heelwright.declarations import Power
from heelwright.kit.arguments import MoveSet
from heelwright.kit.finding import thing_for
from heelwright.kit.models import Follows, Step


def told(act: Act, note: str = "") -> dict[str, Any]:
    """Who tells of the kit, and when the server heard of it."""
    return {
        "practice": act.practice,
        "staff": act.staff,
        "received_at": act.now,
        "note": note,
    }


def add_step(act: Act, step: Step, after: Iterable[UUID], note: str = "") -> Step:
    """Keep a step of a set after others, and announce the set."""
    for name, value in told(act, note).items():
        setattr(step, name, value)
    step.save()
    # None comes before itself, whatever a phone says.
    before = sorted({*after} - {step.pk})
    Follows.objects.bulk_create([Follows(step=step, before=one) for one in before])
    act.announce(step.thing)
    return step


@command(Power.REPORT, MoveSet)
def move_set(act: Act, args: MoveSet) -> None:
    thing = thing_for(act, args.set, "set")
    fresh_id(Step, args.step, "step")
    act.not_ahead(args.at, "at")
    at = act.by_now(args.at)
    step = Step(id=args.step, thing=thing, what=args.what, at=at, end=args.end)
    add_step(act, step, args.after, args.note)
