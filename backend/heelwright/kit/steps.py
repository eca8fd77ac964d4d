"""What happens to a set, as reported: never refused for what it says, since it has happened."""

from collections.abc import Iterable
from typing import Any
from uuid import UUID

from heelwright.commandlog.act import Act, fresh_id
from heelwright.commandlog.registry import command
from heelwright.declarations import Power
from heelwright.kit.arguments import MoveSet
from heelwright.kit.facts import whole_line_of
from heelwright.kit.finding import thing_for
from heelwright.kit.models import Follows, Step
from heelwright.kit.rules.standing import coming_after


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
    before = sorted({*after} - _not_before(step))
    Follows.objects.bulk_create([Follows(step=step, before=one) for one in before])
    act.announce(step.thing)
    return step


def _not_before(step: Step) -> set[UUID]:
    """A step and what follows it: none comes before itself, whatever a phone says. What lies in a
    ring, or before it, would be no last step, and a use there would be hidden."""
    if not Follows.objects.filter(before=step.pk, step__thing=step.thing_id).exists():
        return {step.pk}
    return {UUID(one) for one in coming_after(str(step.pk), whole_line_of(step.thing_id))}


@command(Power.REPORT, MoveSet)
def move_set(act: Act, args: MoveSet) -> None:
    thing = thing_for(act, args.set, "set")
    fresh_id(Step, args.step, "step")
    act.not_ahead(args.at, "at")
    if args.what == "pack":
        act.frees()
    at = act.by_now(args.at)
    step = Step(id=args.step, thing=thing, what=args.what, at=at, end=args.end)
    add_step(act, step, args.after, args.note)
