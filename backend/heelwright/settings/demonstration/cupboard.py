"""The kit of the invented practice as it is worked with: each step as one call."""

from collections import deque
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from typing import Any
from uuid import UUID

from heelwright.settings.demonstration.course import World

WASHING, RUNNING, DRYING, LOADING = (timedelta(minutes=each) for each in (10, 35, 25, 5))
PACKED = WASHING + RUNNING + DRYING
GOOD = {"held_minutes": 5, "celsius": 134, "indicator": "passed"}


@dataclass
class Cupboard:
    """Knows things by their labels: the id of each, the last steps of each set, and which of those
    that are worked with lie clean, the one that was packed first in front. Of each machine it knows
    until when it runs."""

    world: World
    ids: dict[str, UUID] = field(default_factory=dict)
    heads: dict[str, list[UUID]] = field(default_factory=dict)
    clean: deque[str] = field(default_factory=deque)
    busy: dict[UUID, datetime] = field(default_factory=dict)

    @property
    def owner(self) -> str:
        return self.world.scenario.practice.owner

    def at(self, days_ago: int, hour: time) -> datetime:
        return self.world.diary.at(self.day(-days_ago), hour)

    def day(self, ahead: int) -> date:
        return self.world.today + timedelta(days=ahead)

    def say(self, who: str, at: datetime, name: str, /, **args: Any) -> UUID:
        return self.world.log.say(who, at, name, **args)

    def new_id(self, at: datetime) -> UUID:
        return self.world.log.new_id(at)

    def register(self, at: datetime, label: str, card: Mapping[str, Any]) -> None:
        thing = self.ids[label] = self.new_id(at)
        self.say(self.owner, at, "register_thing", thing=thing, label=label, card=card)

    def step(self, label: str, at: datetime) -> tuple[UUID, list[UUID]]:
        """The id of the next step of a set, and those that it comes after."""
        step, after = self.new_id(at), self.heads.get(label, [])
        self.heads[label] = [step]
        return step, after

    def move(self, who: str, label: str, what: str, at: datetime, **more: Any) -> None:
        step, after = self.step(label, at)
        told = {"step": step, "set": self.ids[label], "after": after, "at": at}
        self.say(who, at, "move_set", what=what, **told, **more)

    def cycle(
        self,
        who: str,
        labels: Sequence[str],
        at: datetime,
        how: Mapping[str, Any],
        shown: Mapping[str, Any] = GOOD,
    ) -> tuple[UUID, datetime]:
        """Washes sets and puts them through a cycle, as soon as the machine is free; returns the
        end of it, and when that was."""
        begun, inside = at + WASHING, []
        if (machine := how.get("machine")) in self.busy:
            begun = max(begun, self.busy[machine] + LOADING)
        over = begun + RUNNING
        if machine is not None:
            self.busy[machine] = over
        for label in labels:
            self.move(who, label, "wash", at)
            step, after = self.step(label, begun)
            inside.append({"set": self.ids[label], "step": step, "after": after})
        load, end = self.new_id(begun), self.new_id(over)
        self.say(who, begun, "start_load", load=load, sets=inside, started_at=begun, **how)
        # What is not heated shows nothing.
        told = shown if "machine" in how else {}
        self.say(who, over, "end_load", end=end, load=load, ended_at=over, **told)
        return end, over

    def through(
        self, who: str, labels: Sequence[str], at: datetime, how: Mapping[str, Any]
    ) -> None:
        """The whole way, until they are packed."""
        end, over = self.cycle(who, labels, at, how)
        for label in labels:
            self.move(who, label, "pack", over + DRYING, end=end)
