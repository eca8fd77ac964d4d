"""Two practices whose phones push, pull, move, tear and are shut out, all at once, as a state
machine. It looks at the invariants after each step, and at rest."""

import itertools
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from datetime import timedelta
from threading import Barrier
from typing import Any

from django.core.management import call_command
from django.db import connection
from hypothesis import HealthCheck, Phase, settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    RuleBasedStateMachine,
    invariant,
    rule,
    run_state_machine_as_test,
)

from heelwright import vault
from heelwright.commandlog.act import Act
from heelwright.commandlog.history import writing
from heelwright.commandlog.trim import trim
from heelwright.commandlog.wire import Envelope
from heelwright.declarations import Power
from heelwright.schedule.models import Booking
from heelwright.tenancy.signin import DeviceRevoked
from tests.sync import at_rest
from tests.sync.crowd import NAMES, Crowd, Person
from tests.sync.work import Work
from tests.world import Hand, make_world

Job = Callable[[], None]


class Torn(Exception):
    """The database went away in the midst of a delivery."""


@contextmanager
def tearing(statement: int) -> Iterator[None]:
    """Fails this thread's database at its Nth statement; 0 is never."""
    count = itertools.count(1)

    def fail(execute: Any, sql: Any, params: Any, many: Any, context: Any) -> Any:
        if next(count) == statement:
            raise Torn
        return execute(sql, params, many, context)

    with connection.execute_wrapper(fail):
        yield


def all_at_once(jobs: list[Job]) -> None:
    """Each in a thread of its own, let go together; what one raises is raised here."""
    together = Barrier(len(jobs))

    def run(job: Job) -> None:
        try:
            together.wait(timeout=20)
            job()
        finally:
            connection.close()

    with ThreadPoolExecutor(len(jobs)) as threads:
        for running in [threads.submit(run, job) for job in jobs]:
            running.result()


WHO = st.sampled_from(NAMES)
# What a phone does with its outbox. A gap leaves out the first that has no answer yet.
HOW = st.sampled_from(["new", "whole", "twice", "gap", "moved", "torn"])
DELIVERY = st.tuples(WHO, st.lists(st.integers(0, 9999), max_size=4), HOW, st.integers(1, 90))


class Practices(RuleBasedStateMachine):
    def __init__(self) -> None:
        super().__init__()
        call_command("flush", verbosity=0, interactive=False, inhibit_post_migrate=True)
        self.crowd = Crowd.of(make_world())
        self.work = Work(self.crowd)

    def person(self, name: str) -> Person:
        return self.crowd.people[name]

    @rule(
        deliveries=st.lists(DELIVERY, min_size=1, max_size=4),
        pulls=st.sets(WHO, max_size=2),
        trims=st.booleans(),
    )
    def at_once(
        self, deliveries: list[tuple[str, list[int], str, int]], pulls: set[str], trims: bool
    ) -> None:
        """Writers, redeliveries and readers, together."""
        jobs = [job for delivery in deliveries for job in self.delivering(*delivery)]
        jobs += [self.pulling(name) for name in sorted(pulls)]
        jobs += [self.trimming] if trims else []
        all_at_once(jobs)
        for person in self.crowd.people.values():
            at_rest.check_sights(self.crowd, self.work, person)

    def delivering(self, name: str, numbers: list[int], how: str, number: int) -> list[Job]:
        person = self.person(name)
        for choice in numbers:
            self.work.make(person, choice)
        hand, outbox = person.hand, list(person.outbox)
        unanswered = [e for e in outbox if e.id not in self.crowd.answers.first]
        match how:
            case "twice":
                return [self.push(hand, outbox), self.push(hand, unanswered)]
            case "gap":
                return [self.push(hand, unanswered[1:])]
            case "moved" if person.earlier:
                earlier = [self.push(*before) for before in person.earlier[-1:]]
                return [*earlier, self.push(hand, outbox)]
            case "torn":
                return [self.push(hand, unanswered, torn_at=number)]
            case "new":
                return [self.push(hand, unanswered)]
            case _:
                return [self.push(hand, outbox)]

    def push(self, hand: Hand, envelopes: list[Envelope], torn_at: int = 0) -> Job:
        def job() -> None:
            try:
                with tearing(torn_at):
                    receipts = hand.deliver(*envelopes)
            except DeviceRevoked:
                assert hand.device.pk in self.crowd.revoked
            except Torn:
                assert torn_at
            else:
                self.crowd.answers.take(envelopes, receipts)

        return job

    def pulling(self, name: str) -> Job:
        phone = self.person(name).phone

        def job() -> None:
            phone.sync()

        return job

    @rule(name=WHO)
    def pulls_one_page(self, name: str) -> None:
        phone = self.person(name).phone
        phone.take(phone.hand.pull(phone.cursor))

    @rule(name=WHO, keep_rows=st.booleans(), again=st.integers(0, 12))
    def moves(self, name: str, keep_rows: bool, again: int) -> None:
        person = self.person(name)
        waiting = [e for e in person.outbox if e.id not in self.crowd.answers.first]
        person.move(keep_rows, max(again, self._reach(person, waiting)))

    def _reach(self, person: Person, waiting: list[Envelope]) -> int:
        """How many from the end hold all that has no answer."""
        return len(person.outbox) - person.outbox.index(waiting[0]) if waiting else 0

    @rule(name=st.sampled_from(["technician", "colleague", "coordinator"]), save=st.booleans())
    def shut_out(self, name: str, save: bool) -> None:
        """While the phone delivers. Its person goes on with another one, and sends all again."""
        person, owner = self.person(name), self.person("owner")
        args = {"device": str(person.hand.device.pk), "save_unsent": save}
        self.crowd.revoked.add(person.hand.device.pk)
        owner.make("revoke_device", args)
        pending = [e for e in person.outbox if e.id not in self.crowd.answers.first]
        all_at_once([self.push(owner.hand, owner.outbox), self.push(person.hand, pending)])
        person.move(keep_rows=False, again=len(person.outbox))

    @rule(number=st.integers(0, 999), by=WHO)
    def removes(self, number: int, by: str) -> None:
        """A booking leaves the feed while somebody pulls."""
        if self.work.bookings:
            booking = self.work.bookings[number % len(self.work.bookings)]
            self.work.removed.add(booking)
            all_at_once([lambda: self.removing(booking), self.pulling(by)])

    def removing(self, booking: str) -> None:
        hand = self.person("owner").hand
        with writing(hand.now, pk=hand.device.practice_id) as practice, vault.unit():
            act = Act(practice, hand.staff, hand.device, Power.PERMISSION, hand.now, hand.now)
            for row in Booking.objects.filter(practice=practice, pk=booking):
                act.remove(row)

    def trimming(self) -> None:
        now = self.crowd.world.now
        trim(self.crowd.world.practice.pk, now + timedelta(hours=1), now)

    @invariant()
    def numbers_hold(self) -> None:
        for practice in self.crowd.practices:
            at_rest.check_numbers(practice)

    @rule()
    def rests(self) -> None:
        for person in self.crowd.people.values():
            self.push(person.hand, person.outbox)()
            assert {e.id for e in person.outbox} <= set(self.crowd.answers.first)
            at_rest.check_log(person.outbox)
        for person in self.crowd.people.values():
            at_rest.check_phone(self.crowd, person)
            at_rest.check_sights(self.crowd, self.work, person)
            for hand in [person.hand, *(hand for hand, _ in person.earlier)]:
                at_rest.check_order(hand.device)
        for practice in self.crowd.practices:
            at_rest.check_evidence(practice)

    def teardown(self) -> None:
        self.rests()


def run(examples: int, steps: int) -> None:
    """Many days of the two practices. For a test whose database commits."""
    # Threads make no two runs alike, so there is nothing to shrink or to replay.
    once = settings(
        max_examples=examples,
        stateful_step_count=steps,
        phases=[Phase.generate],
        suppress_health_check=list(HealthCheck),
    )
    run_state_machine_as_test(Practices, settings=once)
