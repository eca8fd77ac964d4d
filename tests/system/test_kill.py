"""The server killed with SIGKILL in the midst of pushes: every command happens exactly once.

Invariants 1 to 3 and 5 of docs/sync.md; no published source. The database process lives on, as it
does when a server's process dies; a power cut is not tried here.
"""

import http.client
import random
import threading
import time
from collections import Counter
from datetime import timedelta
from itertools import count

from tests.run_length import runs
from tests.services.served import ServedApp
from tests.standards.clients import WELL
from tests.system.database import ask, logged_of
from tests.system.device import Device, Json, Reply, of_kind
from tests.system.home_visit import BORN, HomeVisit, noon_today
from tests.system.practice import found

KILLS = runs(short=4, long=200)
CLIENTS_A_PUSH = 4
BIRTHDAYS = count()
ANSWERED = "answered before the kill"
# How far the latest moment of a kill follows what was met: kills that came too late bring it
# forward, the others put it off. Near the answer's own moment they are three in four.
TOO_LATE, IN_TIME = 0.85, 1.06


def batch(device: Device) -> list[Json]:
    """Commands that would leave a trace if they happened twice: answers add up, so do incidents."""
    made: list[Json] = []
    for _ in range(CLIENTS_A_PUSH):
        # Namesakes of one birthday would add incidents of their own.
        born = BORN + timedelta(days=next(BIRTHDAYS))
        day = HomeVisit(device.staff, answers=WELL | {"hot_swollen_foot": True})
        answer = {"clinician": "Dr A", "clinician_role": "gp", "answer": "seen"}
        made += [
            device.command("register_client", **day.card(born=born.isoformat())),
            device.command("book_visit", **day.booked()),
            device.command("record_screen", **day.screened()),
            device.command("record_foot_check", **day.checked()),
            device.command("sign_consent", **day.signed()),
            device.command("complete_visit", **day.completed()),
            device.command(
                "record_referral_answer",
                referral=day.check,
                answered_on=noon_today().date().isoformat(),
                **answer,
            ),
        ]
    return made


class Push:
    """A push under way, which may come to nothing."""

    def __init__(self, device: Device, commands: list[Json]) -> None:
        self.reply: Reply | None = None
        self._thread = threading.Thread(target=self._run, args=[device, commands])
        self._thread.start()

    def _run(self, device: Device, commands: list[Json]) -> None:
        try:
            self.reply = device.push(*commands)
        except (OSError, http.client.HTTPException):
            self.reply = None

    def ended(self) -> Reply | None:
        self._thread.join()
        return self.reply


def push_killed_at(app: ServedApp, device: Device, commands: list[Json], moment: float) -> str:
    """Pushes, kills the server, starts it, and pushes again until it answers; tells how it went."""
    push = Push(device, commands)
    time.sleep(moment)
    app.kill()
    before = push.ended()
    app.start()
    again = device.push(*commands)
    assert again.status == 200, again
    statuses = {result["status"] for result in again.body["results"]}
    # A delivery is one transaction: all of it was there, or nothing.
    assert len(statuses) == 1, again.body
    assert all(result["refusal"] is None for result in again.body["results"]), again.body
    if before is not None:
        assert before.status == 200 and statuses == {"already_applied"}
        return ANSWERED
    return "done, answer lost" if statuses == {"already_applied"} else "nothing was done"


class Aim:
    """When to kill: anywhere in a push, by how long pushes take at present.

    The first is the slowest, and a busy machine is slow for a while only: a length measured once
    would soon let most of the kills come after the answer, where they prove nothing.
    """

    def __init__(self, first: float) -> None:
        self._latest = first
        self._chance = random.Random(20261125)

    def moment(self) -> float:
        return self._latest * self._chance.random()

    def learn(self, outcome: str) -> None:
        self._latest *= TOO_LATE if outcome == ANSWERED else IN_TIME


def kill_until_enough(app: ServedApp, device: Device) -> Counter[str]:
    """Pushes and kills until KILLS of them came before the answer; tells how each went."""
    began = time.monotonic()
    assert device.push(*batch(device)).status == 200
    aim = Aim(time.monotonic() - began)
    how: Counter[str] = Counter()
    while how.total() - how[ANSWERED] < KILLS:
        assert how.total() < 5 * KILLS, how
        outcome = push_killed_at(app, device, batch(device), aim.moment())
        aim.learn(outcome)
        how[outcome] += 1
    return how


def test_killed_in_the_midst_of_pushes(served_api: ServedApp) -> None:
    device = found(served_api)
    how = kill_until_enough(served_api, device)
    print(dict(how))

    log = logged_of(served_api, device.id)
    assert [(entry.id, entry.seq) for entry in log] == [(c["id"], c["seq"]) for c in device.sent]
    assert {entry.status for entry in log} == {"applied"}
    rows = Device.sign_in(served_api.base_url, "owner@practice.test").pull()
    clients = CLIENTS_A_PUSH * (how.total() + 1)
    counts = Counter(kind for kind, _ in rows)
    kinds = ("client", "booking", "health_screen", "foot_check", "consent", "visit", "referral")
    assert {kind: counts[kind] for kind in kinds} == dict.fromkeys(kinds, clients)
    assert ask(served_api, "SELECT count(*) FROM intake_referralanswer") == [(clients,)]
    told = Counter(row["code"] for row in of_kind(rows, "incident").values())
    # These days began before the practice did: of such a clock it is told once.
    assert told == {"visit_of_held_client": clients, "clock_set_back": 1}
    assert rows == device.pull()
    served_api.manage("evidence", "verify")
