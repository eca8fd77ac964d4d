"""A kit on the server, by a device: sets on their way round, a machine, a disinfectant, gloves."""

import secrets
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from typing import Any

from heelwright.ids import new_id
from heelwright.kit.labels import draw_label
from tests.kit.hands import STEAM, lot_card, machine_card, product_card, set_card
from tests.system.device import Device, Json, of_kind

NIPPERS = {"kind": "nippers"}
BIT = {"kind": "rotary_bit", "family": "diamond_large", "head_mm": 6, "shank_mm": 2.35}
FINE = {"kind": "rotary_bit", "family": "diamond_fine_two_sided", "grit": "red", "most_rpm": 30_000}


def ago(minutes: float) -> str:
    return (datetime.now(UTC) - timedelta(minutes=minutes)).isoformat()


@dataclass
class KitBag:
    """Of each set it knows the step that it told last."""

    device: Device
    last: dict[str, list[str]] = field(default_factory=dict)

    def register(self, card: dict[str, Any]) -> str:
        thing = str(new_id())
        label = draw_label(secrets.token_bytes)
        self.device.must("register_thing", thing=thing, label=label, card=card)
        return thing

    def thing(self, of: str) -> Json:
        return of_kind(self.device.pull(), "kit_thing")[of]

    def look(self, of: str) -> list[str]:
        """The last steps of a set, whoever told them."""
        steps = self.thing(of)["steps"]
        followed = {before for step in steps for before in step["after"]}
        self.last[of] = [step["id"] for step in steps if step["id"] not in followed]
        return self.last[of]

    def move(self, of: str, what: str, minutes_ago: float = 0, **more: Any) -> None:
        step = str(new_id())
        told = {"step": step, "set": of, "what": what, "after": self.last.get(of, [])}
        self.device.must("move_set", **told, at=ago(minutes_ago), **more)
        self.last[of] = [step]

    def start(self, machine: str, *sets: str, minutes_ago: float = 30) -> str:
        load, inside = str(new_id()), []
        for one in sets:
            step = str(new_id())
            inside.append({"set": one, "step": step, "after": self.last.get(one, [])})
            self.last[one] = [step]
        with_machine = {"machine": machine, "process": STEAM}
        at = ago(minutes_ago)
        self.device.must("start_load", load=load, sets=inside, started_at=at, **with_machine)
        return load

    def end(self, load: str, **shown: Any) -> str:
        end = str(new_id())
        told: dict[str, Any] = {"held_minutes": 4, "celsius": 134, "indicator": "passed", **shown}
        self.device.must("end_load", end=end, load=load, ended_at=ago(1), **told)
        return end

    def through(self, machine: str, *sets: str) -> str:
        """All of it as it should be; returns the cycle."""
        for one in sets:
            self.move(one, "wash", 60)
        load = self.start(machine, *sets)
        end = self.end(load)
        for one in sets:
            self.move(one, "pack", end=end)
        return load


def pack(device: Device) -> dict[str, str]:
    """One set for each way it may stand; returns the ids by name."""
    bag = KitBag(device)
    expired = (datetime.now(UTC) - timedelta(days=3)).date().isoformat()
    machine = bag.register(machine_card())
    named = {
        name: bag.register(set_card(name, BIT, FINE, NIPPERS))
        for name in ("Set 1", "Set 2", "Set 3", "Set 4", "Set 5", "Set 6", "Set 7", "Set 8")
    }
    in_cycle = [named[f"Set {n}"] for n in (1, 2, 3, 4, 5)]
    for one in in_cycle:
        bag.move(one, "wash", 60)
    load = bag.start(machine, *in_cycle)
    end = bag.end(load)
    for one in in_cycle[:4]:
        bag.move(one, "pack", end=end)
    bag.move(named["Set 2"], "take_out")
    bag.move(named["Set 3"], "soil")
    bag.last[named["Set 4"]] = []
    bag.move(named["Set 4"], "lose")
    bag.move(named["Set 6"], "wash", 20)
    bag.start(machine, named["Set 6"], minutes_ago=1)
    bag.move(named["Set 7"], "wash")
    lots = {
        "Invented gloves": bag.register(lot_card(count=3)),
        "Old masks": bag.register(lot_card(name="Old masks", supply="mask", expires_on=expired)),
    }
    product = bag.register(product_card())
    return {**named, **lots, "machine": machine, "product": product, "load": load}
