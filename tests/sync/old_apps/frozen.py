"""What older apps sent, as it lies frozen beside this file (see README.md), sent again to today's
server."""

import json
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path
from typing import Any
from uuid import UUID

from django.http import HttpRequest

from heelwright.people.api import NewDevice, enrol_device
from heelwright.tenancy.models import Device, Staff
from tests.sync.http import Wire
from tests.world import Hand, founded

HERE = Path(__file__).parent
Json = dict[str, Any]


def frozen(name: str) -> Json:
    return dict(json.loads((HERE / f"{name}.json").read_text()))


@dataclass
class OldApps:
    """The phones of the frozen events. Owners and incidents get their ids on the server, so
    `stands_for` says which of today each of then is; all other ids are sent as they were."""

    now: datetime
    wires: dict[str, Wire] = field(default_factory=dict)
    stands_for: dict[str, str] = field(default_factory=dict)

    def replay(self, events: list[Json]) -> Iterator[tuple[Json, Json]]:
        """Each delivery of the events, with the answer of today's server to it."""
        for event in events:
            if "found" in event:
                self.stands_for[event["owner"]] = founded(event["found"], self.now).id
            elif "enrol" in event:
                self._enrol(event["enrol"], event["staff"])
            else:
                yield event, self._push(event)

    def _enrol(self, device: str, staff: str) -> None:
        request = HttpRequest()
        request.auth = Staff.objects.get(pk=self.stands_for.get(staff, staff))  # type: ignore[attr-defined]
        enrolled = enrol_device(request, NewDevice(device=UUID(device), name="An old app"))
        known = Device.objects.select_related("staff", "practice").get(pk=device)
        self.wires[device] = Wire(Hand(known.staff, known, enrolled.token, self.now))

    def _push(self, event: Json) -> Json:
        said = json.dumps({"device": event["push"], "commands": event["commands"]})
        for then, today in self.stands_for.items():
            said = said.replace(then, today)
        response = self.wires[event["push"]].post("/api/push", said.encode())
        assert response.status_code == 200, response.content
        answer: Json = json.loads(response.content)
        for before, result in zip(event["answers"], answer["results"], strict=True):
            self.stands_for |= dict(zip(before["incidents"], result["incidents"], strict=False))
        return answer
