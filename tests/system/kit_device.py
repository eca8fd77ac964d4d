"""A kit on the server, told of by a device: what stands there before a person opens the phone."""

import secrets
from datetime import UTC, datetime, timedelta
from typing import Any

from heelwright.ids import new_id
from heelwright.kit.labels import draw_label
from tests.kit.hands import STEAM
from tests.system.device import Device, Json, of_kind


class KitDevice:
    def __init__(self, device: Device) -> None:
        self.device = device

    def register(self, card: Json) -> str:
        thing = str(new_id())
        label = draw_label(secrets.token_bytes)
        self.device.must("register_thing", thing=thing, label=label, card=card)
        return thing

    def thing(self, thing: str) -> Json:
        return of_kind(self.device.pull(), "kit_thing")[thing]

    def heads(self, thing: str) -> list[str]:
        steps = self.thing(thing)["steps"]
        followed = {before for step in steps for before in step["after"]}
        return [step["id"] for step in steps if step["id"] not in followed]

    def move(self, thing: str, what: str, **more: Any) -> str:
        step = str(new_id())
        told = {"step": step, "set": thing, "what": what, "after": self.heads(thing)}
        self.device.must("move_set", **told, **{"at": datetime.now(UTC), **more})
        return step

    def through(self, machine: str, *sets: str, **ended: Any) -> str:
        """Washes, sterilises and packs sets, all of it as it should be, begun half an hour ago."""
        begun = datetime.now(UTC) - timedelta(minutes=30)
        load, end = str(new_id()), str(new_id())
        for one in sets:
            self.move(one, "wash", at=begun)
        inside = [{"set": one, "step": new_id(), "after": self.heads(one)} for one in sets]
        inside = [{**one, "step": str(one["step"])} for one in inside]
        started = {"process": STEAM, "machine": machine, "started_at": begun}
        self.device.must("start_load", load=load, sets=inside, **started)
        shown = {"held_minutes": 4, "celsius": 134, "indicator": "passed"}
        at = datetime.now(UTC)
        self.device.must("end_load", end=end, load=load, ended_at=at, **{**shown, **ended})
        for one in sets:
            self.move(one, "pack", end=end)
        return load
