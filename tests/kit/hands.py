"""A kit in somebody's hand: what a technician does with sets, each step as one call.

Of a set's last steps a phone knows what it saw at its last `look`, and what it did since. It may
work without signal: what it did lies in its outbox until `send`.
"""

import secrets
from datetime import datetime
from typing import Any

from heelwright.commandlog.wire import Receipt
from heelwright.kit.labels import draw_label
from tests.factories import ident
from tests.world import Hand

STEAM = "vacuum_wrapped_132"  # 4 minutes at 132 degrees, CDC 2008 Table 7
BIT: dict[str, Any] = {
    "kind": "rotary_bit",
    "family": "diamond_large",
    "head_mm": 6,
    "shank_mm": 2.35,
}


def new_label() -> str:
    return draw_label(secrets.token_bytes)


def set_card(name: str = "Invented set", *instruments: dict[str, Any]) -> dict[str, Any]:
    return {"kind": "set", "name": name, "instruments": list(instruments) or [BIT]}


def machine_card(**more: Any) -> dict[str, Any]:
    return {"kind": "machine", "name": "Invented steriliser", "machine": "steam_vacuum", **more}


def product_card(**more: Any) -> dict[str, Any]:
    strengths = {"stock_percent": 5.25, "use_ppm": 5000, "mixed_keeps_hours": 24}
    named = {"kind": "product", "name": "Invented bleach", "used_for": "both"}
    return {**named, "contact_minutes": 10, **strengths, **more}


def lot_card(**more: Any) -> dict[str, Any]:
    named = {"kind": "lot", "name": "Invented gloves", "supply": "gloves"}
    return {**named, "lot": "A1", "count": 100, **more}


def mix_args(**more: Any) -> dict[str, Any]:
    """By the CDC's 1:10 of household bleach for a large spill of blood."""
    named = {"solution": ident(), "stock_percent": 5.25, "target_ppm": 5000, "volume_ml": 1000}
    return {**named, **more}


class KitHand:
    def __init__(self, hand: Hand) -> None:
        self.hand = hand
        self.heads: dict[str, list[str]] = {}
        self.outbox: list[tuple[str, dict[str, Any], datetime]] = []
        # The steps that lie in it: set, step, and what came before.
        self.waiting: list[tuple[str, str, list[str]]] = []

    # Commands lie in the outbox, or go out at once.

    def tell(self, name: str, args: dict[str, Any]) -> None:
        self.outbox.append((name, args, self.hand.now))

    def send(self) -> list[Receipt]:
        waiting, self.outbox = [self.hand.envelope(*told) for told in self.outbox], []
        self.waiting.clear()
        return self.hand.deliver(*waiting) if waiting else []

    def do(self, name: str, args: dict[str, Any]) -> None:
        self.tell(name, args)
        refused = [receipt.refusal for receipt in self.send() if receipt.refusal]
        assert not refused, (name, refused)

    def look(self) -> "KitHand":
        """What the server knows of every set, with what waits here on top."""
        for row in self.hand.pull().rows:
            if row.kind == "kit_thing" and row.row is not None:
                steps: dict[str, list[str]] = {}
                for step in row.row["steps"]:  # type: ignore[attr-defined]
                    steps[step["id"]] = step["after"]
                self.heads[str(row.id)] = self._last(str(row.id), steps)
        return self

    def _last(self, of: str, steps: dict[str, list[str]]) -> list[str]:
        steps |= {step: after for one, step, after in self.waiting if one == of}
        followed = {before for after in steps.values() for before in after}
        return sorted(steps.keys() - followed)

    # Things.

    def register(self, card: dict[str, Any]) -> str:
        thing = ident()
        self.do("register_thing", {"thing": thing, "label": new_label(), "card": card})
        return thing

    # Steps of a set.

    def _after(self, of: str, step: str) -> list[str]:
        before, self.heads[of] = self.heads.get(of, []), [step]
        self.waiting.append((of, step, before))
        return before

    def move(self, of: str, what: str, **more: Any) -> str:
        """Tells it; it is sent by `send`."""
        step = ident()
        after = self._after(of, step)
        told = {"step": step, "set": of, "what": what, "after": after, "at": self.hand.stamp()}
        self.tell("move_set", {**told, **more})
        return step

    def start(self, *sets: str, **more: Any) -> str:
        load = ident()
        inside = []
        for one in sets:
            step = ident()
            inside.append({"set": one, "step": step, "after": self._after(one, step)})
        told = {"load": load, "sets": inside, "started_at": self.hand.stamp()}
        self.tell("start_load", {**told, **more})
        return load

    def end(self, load: str, **more: Any) -> str:
        end = ident()
        told = {"end": end, "load": load, "ended_at": self.hand.stamp()}
        shown: dict[str, Any] = {"held_minutes": 4, "celsius": 134, "indicator": "passed"}
        self.tell("end_load", {**told, **shown, **more})
        return end

    def through(self, machine: str, *sets: str, **ended: Any) -> str:
        """Washes, sterilises and packs sets, all of it as it should be, begun half an hour ago;
        returns the cycle."""
        begun = self.hand.stamp(minutes=-30)
        for one in sets:
            self.move(one, "wash", at=begun)
        load = self.start(*sets, process=STEAM, machine=machine, started_at=begun)
        end = self.end(load, **ended)
        for one in sets:
            self.move(one, "pack", end=end)
        refused = [receipt.refusal for receipt in self.send() if receipt.refusal]
        assert not refused, refused
        return load

    def check(self, machine: str, *, passed: bool, **more: Any) -> None:
        at = {"tested_at": self.hand.stamp(), "read_at": self.hand.stamp()}
        named = {"check": ident(), "machine": machine, "kind": "spore_test", "passed": passed}
        self.do("record_machine_check", {**named, **at, **more})

    # Uses.

    def used(self, of: str) -> dict[str, Any]:
        use = ident()
        return {"use": use, "set": of, "after": self._after(of, use), "at": self.hand.stamp()}

    def give(self, of: str, visit: dict[str, Any]) -> dict[str, Any]:
        """Asks to use a set in a visit; it is sent by `send`."""
        used = self.used(of)
        self.tell("give_set", {**used, "visit": visit["visit"], "client": visit["client"]})
        return used
