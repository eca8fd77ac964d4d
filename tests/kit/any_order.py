"""Three phones and one set, with signal and without, as a state machine.

What must hold is asked apart from the rules: each phone keeps, as plain sets, what it knew when it
told of a step. Of a use before and a use after it is asked whether some washing, good cycle and
packing, each known at the next, lie between.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from django.db import transaction
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, rule, run_state_machine_as_test

from heelwright.commandlog.models import Incident
from heelwright.kit.models import Use
from tests.kit.hands import STEAM, KitHand, machine_card, set_card
from tests.world import Hand, World

PEOPLE = ("technician", "owner", "colleague")
VISITS = 5
WHO = st.sampled_from(PEOPLE)
MOVES = ["take_out", "put_back", "soil", "wash", "reject", "lose", "bring_back"]
FLAWS = ["", "", "not washed", "packed early", "interrupted", "not ended", "not packed"]
BAD = {"interrupted": True}, {"indicator": "failed"}, {"held_minutes": 1}, {"celsius": 120}


@dataclass(frozen=True)
class Told:
    """A step, with all that whoever told of it knew."""

    what: str
    knew: frozenset[str]
    load: str = ""
    end: str = ""


@dataclass
class Setting:
    """A set that is known to all, and visits of each person that have begun."""

    world: World
    set: str
    machine: str
    visits: dict[str, list[dict[str, Any]]]


def setting(world: World) -> Setting:
    first = KitHand(world.technician)
    visits = {who: list(_visits(world.hands[who])) for who in PEOPLE}
    return Setting(world, first.register(set_card()), first.register(machine_card()), visits)


def _visits(hand: Hand) -> Iterator[dict[str, Any]]:
    for day in range(VISITS):
        client = hand.register()
        begun = hand.ready(client, booking=hand.book(client, starts_at=hand.stamp(days=day + 1)))
        hand.do("start_visit", begun)
        yield begun


class AnyOrder(RuleBasedStateMachine):
    of: Setting

    def __init__(self) -> None:
        super().__init__()
        self.undone = transaction.atomic()
        self.undone.__enter__()
        world = self.of.world
        self.phones = {who: KitHand(world.hands[who]) for who in PEOPLE}
        # A savepoint undoes what a phone has sent, so it numbers anew.
        self.numbers = {who: phone.hand.seq for who, phone in self.phones.items()}
        self.visits = {who: list(visits) for who, visits in self.of.visits.items()}
        self.told: dict[str, Told] = {}
        self.ends: dict[str, list[tuple[str, bool]]] = {}
        self.knew: dict[str, set[str]] = {who: set() for who in PEOPLE}
        self.server: set[str] = set()
        self.running: list[str] = []
        self.anyway: dict[str, bool] = {}
        self.visit_of: dict[str, dict[str, Any]] = {}
        self.kept: set[str] = set()

    # What people do: known to the phone at once, and to the server when it is sent.

    def _tells(self, who: str, id_: str, what: str, load: str = "", end: str = "") -> None:
        self.told[id_] = Told(what, frozenset(self.knew[who]), load, end)
        self.knew[who].add(id_)

    @rule(who=WHO)
    def looks(self, who: str) -> None:
        self.sends(who)
        self.phones[who].look()
        self.knew[who] |= self.server

    @rule(who=WHO, what=st.sampled_from(MOVES))
    def moves(self, who: str, what: str) -> None:
        self._tells(who, self.phones[who].move(self.of.set, what), what)

    @rule(who=WHO, what=st.sampled_from(["starts", "ends", "packs"]), which=st.integers(0, 9))
    def does_a_part(self, who: str, what: str, which: int) -> None:
        """One step of a cycle by itself, as when somebody else goes on with it."""
        known = [one for one in sorted(self.knew[who]) if self.told[one].what == "end"]
        loads = [load for load in self.running if self._known(who, load)]
        if what == "starts":
            self.starts(who)
        elif what == "ends" and loads:
            bad = (*BAD, None)[which % 5]
            self._ends(who, loads[which % len(loads)], good=bad is None, **(bad or {}))
        elif what == "packs":
            self._packs(who, known[which % len(known)] if known and which else "")

    def starts(self, who: str) -> None:
        load = self.phones[who].start(self.of.set, process=STEAM, machine=self.of.machine)
        self.running.append(load)
        self._tells(who, self.phones[who].heads[self.of.set][0], "cycle", load)

    def _known(self, who: str, load: str) -> bool:
        return any(self.told[step].load == load for step in self.knew[who])

    @rule(
        who=WHO,
        flaw=st.sampled_from(FLAWS),
        looks=st.sampled_from([True, True, False]),
        then=st.sampled_from(["", "sends", "gives", "gives"]),
    )
    def goes_the_whole_way(self, who: str, flaw: str, looks: bool, then: str) -> None:
        """Washed, a cycle, packed; or so but for one thing. And then?"""
        if looks:
            self.looks(who)
        if flaw != "not washed":
            self.moves(who, "wash")
        self.starts(who)
        load = self.running[-1]
        if flaw == "packed early":
            self._packs(who, "")
        for phone in self.phones.values():
            phone.hand.later(minutes=6)
        end = "" if flaw == "not ended" else self._ends(who, load, good=flaw != "interrupted")
        if flaw not in ("packed early", "not packed"):
            self._packs(who, end)
        if then == "sends":
            self.sends(who)
        elif then == "gives":
            self.gives(who, anyway=True, at_once=True)

    def _ends(self, who: str, load: str, *, good: bool, **how: Any) -> str:
        end = self.phones[who].end(load, **({} if good else how or BAD[0]))
        self.ends.setdefault(load, []).append((end, good))
        self.told[end] = Told("end", frozenset(self.knew[who]), load)
        self.knew[who].add(end)
        return end

    def _packs(self, who: str, end: str) -> None:
        step = self.phones[who].move(self.of.set, "pack", end=end or None)
        self._tells(who, step, "pack", end=end)

    @rule(who=WHO, anyway=st.booleans(), at_once=st.booleans())
    def gives(self, who: str, anyway: bool, at_once: bool) -> None:
        if not self.visits[who]:
            return
        visit = self.visits[who].pop()
        used = self.phones[who].give(self.of.set, visit)
        self.visit_of[used["use"]] = {**visit, "used": used}
        self.anyway[used["use"]] = anyway
        self._tells(who, used["use"], "use")
        if at_once:
            self.sends(who)

    @rule(minutes=st.integers(1, 9))
    def waits(self, minutes: int) -> None:
        for phone in self.phones.values():
            phone.hand.later(minutes=minutes)

    @rule(who=WHO)
    def sends(self, who: str) -> None:
        phone = self.phones[who]
        waiting, phone.outbox = phone.outbox, []
        phone.waiting.clear()
        for name, args, at in waiting:
            receipt = phone.hand.send(name, args, at)
            if name == "give_set":
                self._given(phone, args["use"], receipt.refusal is None)
            else:
                assert receipt.refusal is None, receipt.refusal
                steps = [one["step"] for one in args.get("sets", [])]
                self.server |= {args.get("step") or args.get("end", ""), *steps} & self.told.keys()

    def _given(self, phone: KitHand, use: str, granted: bool) -> None:
        if granted:
            for other in self.kept:
                assert self._clean_between(other, use), "permission without a cycle since a use"
            assert self._cycle_before(use), "permission without any cycle"
            assert Use.objects.get(pk=use).flags == []
        elif self.anyway[use]:
            visit = dict(self.visit_of[use])
            done = phone.hand.done({**visit, "kit": {"sets": [visit.pop("used")]}})
            done.pop("used", None)
            phone.hand.do("complete_visit", done)
            assert Use.objects.get(pk=use).flags
        if granted or self.anyway[use]:
            self.kept.add(use)
            self.server.add(use)

    # What must hold.

    def _clean_between(self, first: str, then: str) -> bool:
        return any(first in self.told[wash].knew for wash in self._washings_before(then))

    def _cycle_before(self, use: str) -> bool:
        return any(True for _ in self._washings_before(use))

    def _washings_before(self, use: str) -> Iterator[str]:
        """Of each way washed, good cycle, packed that was known at a use, the washing."""
        for pack in self._before(use, "pack"):
            for cycle in self._before(pack, "cycle"):
                ends = self.ends.get(self.told[cycle].load, [])
                there = [(end, good) for end, good in ends if end in self.server]
                named = self.told[pack].end in {end for end, _ in there}
                if named and all(good for _, good in there):
                    yield from self._before(cycle, "wash")

    def _before(self, step: str, what: str) -> Iterator[str]:
        return (one for one in self.told[step].knew if self.told[one].what == what)

    def teardown(self) -> None:
        try:
            for who in PEOPLE:
                self.sends(who)
            self._all_is_told()
        finally:
            transaction.set_rollback(True)
            self.undone.__exit__(None, None, None)
            for who, phone in self.phones.items():
                phone.hand.seq = self.numbers[who]
                phone.hand.now = self.of.world.now

    def _all_is_told(self) -> None:
        uses = {str(use.pk): use for use in Use.objects.filter(thing=self.of.set)}
        assert uses.keys() == self.kept
        for one in self.kept:
            for other in self.kept - {one}:
                if self._clean_between(one, other) or self._clean_between(other, one):
                    continue
                apart = one not in self.told[other].knew and other not in self.told[one].knew
                flagged = [bool(uses[use].flags) for use in (one, other)]
                assert all(flagged) if apart else any(flagged)
        told = Incident.objects.filter(code="set_used_unready").values_list("client_ref", flat=True)
        assert {use.client_id for use in uses.values() if use.flags} <= set(told)


def run(world: World, examples: int, steps: int) -> None:
    AnyOrder.of = setting(world)
    once = settings(
        max_examples=examples,
        stateful_step_count=steps,
        deadline=None,
        suppress_health_check=list(HealthCheck),
    )
    run_state_machine_as_test(AnyOrder, settings=once)
