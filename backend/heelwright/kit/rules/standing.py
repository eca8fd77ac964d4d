"""How a set stands by the steps that are told of it, and whether it may go to a client."""

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import Literal

from heelwright.kit.rules.loads import Level, Load, LoadState, outcome

What = Literal[
    "take_out",
    "put_back",
    "use",
    "soil",
    "wash",
    "cycle",
    "pack",
    "reject",
    "lose",
    "retire",
    "bring_back",
]
State = Literal[
    "clean",
    "out",
    "in_use",
    "dirty",
    "washing",
    "processing",
    "drying",
    "rejected",
    "lost",
    "retired",
    "unclear",
]
LEVELS: tuple[Level, ...] = ("disinfect", "sterilise")
STATES: dict[What, State] = {
    "use": "in_use",
    "soil": "dirty",
    "wash": "washing",
    "reject": "rejected",
    "lose": "lost",
    "retire": "retired",
    "bring_back": "dirty",
}
ENDED: dict[LoadState, State] = {
    "running": "processing",
    "complete": "drying",
    "again": "washing",
}
# Where the chain of what counts for a set begins anew, whatever it went through before.
FRESH_START = "wash"


@dataclass(frozen=True)
class Step:
    """Something that happened to a set. `after` are the last steps of it that the phone knew then,
    so that two phones without signal leave two ends and no clock has to say which was first.

    `load` is the cycle of a `cycle` step; `end` the end of it by which a `pack` step was made.
    """

    id: str
    what: What
    at: datetime
    staff: str
    after: tuple[str, ...]
    load: str | None = None
    end: str | None = None


@dataclass(frozen=True)
class Standing:
    """`heads` are the steps that none follows. `until` is the day to which it keeps, `staff` who
    did the last step, `load` the cycle that it went through or is in."""

    state: State
    heads: tuple[str, ...]
    reasons: tuple[str, ...] = ()
    until: datetime | None = None
    staff: str | None = None
    load: str | None = None


Steps = Mapping[str, Step]
Loads = Mapping[str, Load]


def heads_of(steps: Steps) -> tuple[str, ...]:
    """The steps that none follows, in the order of their ids."""
    followed = {before for step in steps.values() for before in step.after}
    return tuple(sorted(step for step in steps if step not in followed))


def standing(needs: Level, steps: Steps, loads: Loads, now: datetime) -> Standing:
    """How a set that `needs` this stands now. One that nobody has told of, or of which two phones
    tell apart, is not clean."""
    heads = heads_of(steps)
    if not heads:
        return Standing("dirty", heads, ("no_cycle_yet",))
    if len(heads) > 1:
        return Standing("unclear", heads, ("told_apart",))
    head = steps[heads[0]]
    told = Standing(STATES.get(head.what, "dirty"), heads, staff=head.staff)
    if head.what == "cycle":
        state, reasons = _in_cycle(loads.get(head.load or ""))
        return replace(told, state=state, reasons=reasons, load=head.load)
    return (
        told
        if head.what in STATES
        else _packed(told, _clean_by(head, needs, steps, loads), head, now)
    )


def _packed(told: Standing, found: "_Found", head: Step, now: datetime) -> Standing:
    told = replace(told, load=found.load, until=found.until, reasons=found.reasons)
    if found.until is not None and now > found.until:
        told = replace(told, reasons=(*told.reasons, "out_of_date"))
    if told.reasons:
        return told
    return replace(told, state="out" if head.what == "take_out" else "clean")


def may_give(stands: Standing, staff: str) -> bool:
    """Whether this person may use the set on a client: it is clean, and in nobody else's box."""
    return stands.state == "clean" or (stands.state == "out" and stands.staff == staff)


def against(stands: Standing, after: Collection[str], staff: str) -> tuple[str, ...]:
    """Why a set that stands like this may not be used by somebody whose phone knew of these last
    steps; nothing where it may."""
    if set(after) != set(stands.heads):
        return ("changed_since",)
    if may_give(stands, staff):
        return ()
    if stands.state == "out":
        return ("in_anothers_box",)
    return stands.reasons or ("not_clean",)


def cycles_before(step: Step, steps: Steps) -> frozenset[str]:
    """The cycles from which a set came to a step: the last of each account."""
    return frozenset(steps[at].load or "" for at in _nearest("cycle", step, steps))


def packs_before(step: Step, steps: Steps) -> frozenset[str]:
    """The packings from which a step comes, with no other between: two uses that share one had no
    cycle between them."""
    return frozenset(_nearest("pack", step, steps))


def apart_from(step: Step, steps: Steps) -> frozenset[str]:
    """The steps that neither came before this one nor after it, as far as anybody told: of those
    nobody can say which was first."""
    before = _reached(step.id, lambda at: steps[at].after if at in steps else ())
    return frozenset(steps) - before - coming_after(step.id, steps)


def coming_after(step: str, steps: Steps) -> set[str]:
    """A step with those that come after it, as far as anybody told."""
    after: dict[str, list[str]] = {}
    for one in steps.values():
        for each in one.after:
            after.setdefault(each, []).append(one.id)
    return _reached(step, lambda at: after.get(at, ()))


def _reached(start: str, onward: Callable[[str], Iterable[str]]) -> set[str]:
    seen: set[str] = set()
    ahead = [start]
    while ahead:
        at = ahead.pop()
        if at not in seen:
            seen.add(at)
            ahead += onward(at)
    return seen


def _nearest(what: What, step: Step, steps: Steps) -> set[str]:
    """The nearest steps of a kind before this one, on each way back, up to a washing."""
    found: set[str] = set()
    seen: set[str] = set()
    ahead = list(step.after)
    while ahead:
        at = ahead.pop()
        if at in seen or at not in steps:
            continue
        seen.add(at)
        if steps[at].what == what:
            found.add(at)
        elif steps[at].what != FRESH_START:
            ahead += steps[at].after
    return found


@dataclass(frozen=True)
class _Found:
    """What speaks against a set that was packed; nothing where it is clean until `until`."""

    reasons: tuple[str, ...]
    load: str | None = None
    until: datetime | None = None


def _in_cycle(load: Load | None) -> tuple[State, tuple[str, ...]]:
    if load is None:
        return "washing", ("cycle_unknown",)
    ended = outcome(load)
    return ENDED[ended.state], ended.reasons


def _clean_by(head: Step, needs: Level, steps: Steps, loads: Loads) -> _Found:
    """Walks back from a set that was packed, and perhaps taken along, to its washing."""
    line = [step for step in _back(head, steps) if step.what not in ("take_out", "put_back")]
    if not line:
        return _Found(("history_unclear",))
    pack, *before = line
    if pack.what != "pack" or not before or before[0].what != "cycle" or before[0].load is None:
        return _Found(("no_cycle",))
    load = loads.get(before[0].load)
    if load is None or load.asked is None:
        return _Found(("cycle_unknown",), before[0].load)
    reasons = tuple(_against(pack, before, needs, load))
    until = pack.at + timedelta(days=load.asked.storage_days)
    return _Found(reasons, before[0].load, until)


def _against(pack: Step, before: Sequence[Step], needs: Level, load: Load) -> Iterator[str]:
    ended = outcome(load)
    if ended.state == "running":
        yield "cycle_not_done"
    yield from ended.reasons
    if ended.state == "complete" and pack.end not in {end.id for end in load.ends}:
        yield "packed_early"
    if load.asked is not None and LEVELS.index(load.asked.level) < LEVELS.index(needs):
        yield "cycle_not_enough"
    # Only cycles, each begun again, may lie between this one and a washing.
    if next((step.what for step in before if step.what != "cycle"), None) != FRESH_START:
        yield "not_washed"


def _back(step: Step | None, steps: Steps) -> Iterator[Step]:
    """A step and those before it, as long as each follows one step alone that is known."""
    seen: set[str] = set()
    while step is not None and step.id not in seen:
        yield step
        seen.add(step.id)
        step = steps.get(step.after[0]) if len(step.after) == 1 else None
