"""No sequence of commands passes a referral or a need for a clearance: tried at random, against a
model written for this.

The model knows nothing of how the server decides. It holds each serious finding open until it was
taken back as a slip within minutes, or until a referral that speaks of it was answered after it,
a clinician's no until a yes, and a need for a clearance until a slip, a clearance, or a yes to a
referral that named it; no run is as long as a day.
"""

import copy
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from uuid import UUID

from django.db import transaction
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from heelwright.intake.models import Referral
from heelwright.intake.rules import serious
from tests.factories import HEALTHY, NEEDS_WORD, OPEN_SORE, REFERRED, clearance_args
from tests.run_length import runs
from tests.world import Hand, World

MINUTES = 10  # entered_in_error_minutes of the book; that it is 10, test_book_settings holds
ACTIONS = [
    *("injury", "sore", "kidney", "clean_screen", "clean_check"),
    *("mark_screen", "mark_check", "mark_first", "answer", "answer_first", "no", "no_first"),
    *(
        "clearance",
        "clear_kidney",
        "consent",
        "minutes",
        "hour",
        "colleague_screens",
        "start",
        "start_backdated",
    ),
]


@dataclass
class Finding:
    """A serious finding, and what the server has been told of it since."""

    row: str
    what: str
    at: datetime
    settled: bool = False
    slip: bool = False
    answered: dict[str, datetime] = field(default_factory=dict)


@dataclass
class Door:
    """A technician and a client, and everything tried between them."""

    hand: Hand
    owner: Hand
    client: str
    findings: list[Finding] = field(default_factory=list)
    needs: list[Finding] = field(default_factory=list)
    cleared_at: list[datetime] = field(default_factory=list)
    screens: list[str] = field(default_factory=list)
    checks: list[str] = field(default_factory=list)
    leaned_on_serious: bool = False
    refused: set[str] = field(default_factory=set)
    last_answer: datetime | None = None
    last_clean_screen: datetime | None = None

    def step(self, action: str) -> None:
        self.hand.later(seconds=30)
        self.owner.now = self.hand.now
        getattr(self, action)()

    def injury(self) -> None:
        self.screens.append(self.hand.screen(self.client, REFERRED))
        self.findings.append(Finding(self.screens[-1], "hurt_foot", self.hand.now))

    def sore(self) -> None:
        if self.screens:
            referring = {finding.row for finding in self.findings}
            self.leaned_on_serious = self.leaned_on_serious or self.screens[-1] in referring
            self.checks.append(self.hand.check(self.client, self.screens[-1], OPEN_SORE))
            self.findings.append(Finding(self.checks[-1], "open_sore_seen", self.hand.now))

    def kidney(self) -> None:
        self.screens.append(self.hand.screen(self.client, NEEDS_WORD))
        self.needs.append(Finding(self.screens[-1], "kidney", self.hand.now))

    def clean_screen(self) -> None:
        self.screens.append(self.hand.screen(self.client, HEALTHY))
        self.last_clean_screen = self.hand.now

    def clean_check(self) -> None:
        """On a serious screen it may be referred once more, for the reasons of that screen."""
        if self.screens:
            referring = {finding.row for finding in self.findings}
            self.leaned_on_serious = self.leaned_on_serious or self.screens[-1] in referring
            self.checks.append(self.hand.check(self.client, self.screens[-1]))

    def colleague_screens(self) -> None:
        self.screens.append(self.owner.screen(self.client, HEALTHY))
        self.last_clean_screen = self.hand.now

    def mark_screen(self) -> None:
        self._mark("health_screen", self.screens[-1:])

    def mark_check(self) -> None:
        self._mark("foot_check", self.checks[-1:])

    def mark_first(self) -> None:
        self._mark("health_screen", self.screens[:1])

    def _mark(self, what: str, rows: list[str]) -> None:
        for row in rows:
            args = {"what": what, "row": row, "reason": "Wrong tap"}
            applied = self.hand.send("mark_entered_in_error", args).status == "applied"
            for finding in [*self.findings, *self.needs]:
                if finding.row == row and applied:
                    assert self.hand.now - finding.at <= timedelta(minutes=MINUTES)
                    finding.settled = finding.slip = True

    def answer(self) -> None:
        self._answer(newest=True)

    def answer_first(self) -> None:
        self._answer(newest=False)

    def no(self) -> None:
        self._refuse(newest=True)

    def no_first(self) -> None:
        self._refuse(newest=False)

    def _refuse(self, newest: bool) -> None:
        """A clinician's no holds whatever it is about, until a yes to the same referral."""
        made = self._made()
        if made:
            asked = str(made[-1 if newest else 0].pk)
            self.hand.answer(asked, verdict="may_not")
            self.refused.add(asked)

    def _made(self) -> list[Referral]:
        about = Referral.objects.filter(client_id=UUID(self.client))
        return list(about.order_by("received_at", "pk"))

    def _answer(self, newest: bool) -> None:
        """Answers one referral; every finding that it speaks of, up to now, is then settled."""
        made = self._made()
        if not made:
            return
        asked = made[-1 if newest else 0]
        self.hand.answer(str(asked.pk))
        self.refused.discard(str(asked.pk))
        # What was taken back as a slip asks for nothing, and so its answer says nothing.
        if any(finding.row == str(asked.pk) and finding.slip for finding in self.findings):
            return
        self.last_answer = self.hand.now
        reasons = {rule["id"] for rule in asked.judgement["fired"]}
        for need in self.needs:
            # To a letter that only asks for a clearance, nothing less than one is an answer.
            if need.what in reasons and serious(asked.judgement):
                need.answered[str(asked.pk)] = self.hand.now
        own = {str(referral.pk) for referral in made}
        for finding in self.findings:
            speaks_of = finding.row == str(asked.pk) or (
                finding.row not in own and finding.what in reasons
            )
            finding.settled = finding.settled or speaks_of

    def clearance(self) -> None:
        rules = [*HEALTHY, *OPEN_SORE, "hurt_foot", "open_sore_seen"]
        self.hand.do(
            "record_clearance",
            clearance_args(
                client=self.client,
                given_on=self.hand.day(),
                expires_on=self.hand.day(days=9),
                covers=rules,
            ),
        )

    def clear_kidney(self) -> None:
        self.hand.clear(self.client)
        self.cleared_at.append(self.hand.now)

    def needs_word(self, at: datetime) -> bool:
        slips = {finding.row for finding in self.findings if finding.slip}
        needed = any(
            need.at <= at
            and not need.slip
            and not any(yes <= at for row, yes in need.answered.items() if row not in slips)
            for need in self.needs
        )
        return needed and not any(cleared <= at for cleared in self.cleared_at)

    def consent(self) -> None:
        self.hand.consent(self.client)

    def minutes(self) -> None:
        self.hand.later(minutes=7)

    def hour(self) -> None:
        self.hand.later(hours=1)

    def start(self) -> None:
        self._start(self.hand.now)

    def start_backdated(self) -> None:
        self._start(self.hand.now - timedelta(hours=1))

    def _start(self, at: datetime) -> None:
        if not self.screens or not self.checks:
            return
        args = {
            **self.hand.ready_ids(self.client),
            "screen": self.screens[-1],
            "check": self.checks[-1],
            "started_at": at.isoformat(),
        }
        self._hold(self.hand.send("start_visit", args, at=at).status, at)

    def finish_clean(self) -> None:
        """As a technician would who tries to get on with it: everything anew, and clean."""
        self.clean_screen()
        self.clean_check()
        args = self.hand.ready_ids(self.client)
        args |= {"screen": self.screens[-1], "check": self.checks[-1]}
        status = self.hand.send("start_visit", args).status
        self._hold(status, self.hand.now)
        settled = all(finding.settled for finding in self.findings)
        held = self.refused or self.leaned_on_serious or self.needs_word(self.hand.now)
        if settled and not held:
            assert status == "applied", "held for no reason"

    def _hold(self, status: str, at: datetime) -> None:
        if status == "applied":
            assert not self.needs_word(at), self.needs
            assert all(finding.settled for finding in self.findings), self.findings
            assert not self.refused
            if self.last_answer is not None:
                assert self.last_clean_screen is not None
                assert self.last_clean_screen > self.last_answer


@contextmanager
def undone() -> Iterator[None]:
    with transaction.atomic():
        yield
        transaction.set_rollback(True)


@example(actions=["sore", "kidney", "answer"])
@given(actions=st.lists(st.sampled_from(ACTIONS), min_size=3, max_size=14))
@settings(
    max_examples=runs(short=40, long=3000),
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
def test_no_sequence_passes_a_hold(built_world: World, db: None, actions: list[str]) -> None:
    world = copy.deepcopy(built_world)
    with undone():
        door = Door(world.technician, world.owner, world.client)
        for action in actions:
            door.step(action)
        door.hand.later(seconds=30)
        door.finish_clean()
