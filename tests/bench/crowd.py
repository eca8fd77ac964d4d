"""A thousand phones of one practice at a real server: each pulls, idle, and pushes one command.

One practice is the hardest case, since its writers wait for each other. Sixteen requests are under
way at any time, as many as the server's threads; the phones run on the same processors, so that the
server's own processor time says more than the requests a second.
"""

import json
import time
from collections.abc import Callable, Iterable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from itertools import cycle, islice
from pathlib import Path
from statistics import quantiles

from heelwright.commandlog.protocol import PROTOCOL
from heelwright.ids import new_id
from tests.bench.django_here import here
from tests.services.postgres import Postgres
from tests.services.served import ServedApp
from tests.system.device import Device, Reply

DEVICES, AT_ONCE = 1000, 16
TICKS_A_SECOND = 100
TRY_AGAIN = 503
Ask = Callable[[], Reply]


@dataclass(frozen=True)
class Crowd:
    """Milliseconds of waiting, and of processor time a request: the server's and the database's.

    A phone that is told to come again does so, and has waited all the while; `again` counts it.
    """

    requests_a_second: float
    middle: float
    slowest_twentieth: float
    server: float
    database: float
    again: int


def crowd(
    app: ServedApp,
    people: Iterable[Device],
    clients: Sequence[str],
    postgres: Postgres | None = None,
) -> dict[str, Crowd]:
    phones = [_enrolled(app, one) for one in islice(cycle(list(people)), DEVICES)]
    cursor = here()
    turns = dict(zip([phone.id for phone in phones], cycle(clients), strict=False))

    def idle(phone: Device) -> Ask:
        asked = {"protocol": PROTOCOL, "device": str(phone.id), "cursor": cursor}
        return lambda: phone.ask("POST", "/api/pull", asked)

    def push(phone: Device) -> Ask:
        changes = {"note": "Rings twice, key under the third pot."}
        amend = {"client": turns[phone.id], "seen": 2**40, "changes": changes}
        command = phone.command("amend_client", **amend)
        return lambda: phone.push(command)

    def spent() -> tuple[float, float]:
        return _group(app.process), _family(postgres.process) if postgres else 0.0

    return {
        "idle pull": _together([idle(phone) for phone in phones], spent),
        "push of 1 command": _together([push(phone) for phone in phones], spent),
    }


def _together(asks: Sequence[Ask], spent: Callable[[], tuple[float, float]]) -> Crowd:
    server, database = spent()
    began = time.perf_counter()
    with ThreadPoolExecutor(AT_ONCE) as pool:
        waits, again = zip(*pool.map(_waited, asks), strict=True)
    seconds = time.perf_counter() - began
    after, database_after = spent()
    cuts = quantiles(waits, n=20)
    return Crowd(
        requests_a_second=len(asks) / seconds,
        middle=cuts[9] * 1000,
        slowest_twentieth=cuts[18] * 1000,
        server=(after - server) / len(asks) * 1000,
        database=(database_after - database) / len(asks) * 1000,
        again=sum(again),
    )


def _waited(ask: Ask) -> tuple[float, int]:
    """Seconds until the answer, and how often the phone had to ask again for it."""
    began, again = time.perf_counter(), 0
    while (reply := ask()).status == TRY_AGAIN:
        again += 1
    assert reply.status == 200, reply
    for result in json.loads(reply.raw).get("results", ()):
        assert result["status"] == "applied", reply
    return time.perf_counter() - began, again


def _enrolled(app: ServedApp, owner: Device) -> Device:
    """One more phone of the same person, made known as the sign-in does once the password fits."""
    from django.http import HttpRequest

    from heelwright.people.api import NewDevice, enrol_device
    from heelwright.tenancy.models import Staff

    request = HttpRequest()
    request.auth = Staff.objects.get(pk=owner.staff)  # type: ignore[attr-defined]
    new = NewDevice(protocol=PROTOCOL, device=new_id(), name="a phone")
    enrolled = enrol_device(request, new)
    return Device(app.base_url, enrolled.device, enrolled.token, owner.staff, owner.practice)


def _group(leader: int) -> float:
    """Processor seconds of a process group so far."""
    return sum(own for _, group, own, _ in _processes() if group == leader)


def _family(parent: int) -> float:
    """Processor seconds of a process and of its children, those that have ended included."""
    family = sum(own for above, _, own, _ in _processes() if above == parent)
    return family + _seconds(parent)


def _seconds(process: int) -> float:
    *_, own, ended = _fields(process)
    return own + ended


def _processes() -> Iterable[tuple[int, int, float, float]]:
    for folder in Path("/proc").glob("[0-9]*"):
        try:
            yield _fields(int(folder.name))
        except OSError:
            continue


def _fields(process: int) -> tuple[int, int, float, float]:
    """Parent, group, processor seconds of its own and of its ended children: see proc(5)."""
    fields = Path(f"/proc/{process}/stat").read_text().rsplit(")", 1)[1].split()
    own = int(fields[11]) + int(fields[12])
    ended = int(fields[13]) + int(fields[14])
    return int(fields[1]), int(fields[2]), own / TICKS_A_SECOND, ended / TICKS_A_SECOND
