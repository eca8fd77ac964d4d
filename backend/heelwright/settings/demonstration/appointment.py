"""One appointment at the door: screen, foot check, and what they lead to."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, time, timedelta
from uuid import UUID

from heelwright.intake.rules import rank
from heelwright.people.rules import age_on
from heelwright.rulebook import Judgement
from heelwright.settings.demonstration import agreements, care
from heelwright.settings.demonstration.answers import Findings, answer_all
from heelwright.settings.demonstration.course import Course
from heelwright.settings.demonstration.scenario import Answers, Event

EVENING = time(18, 0)


@dataclass
class Appointment:
    """`progress` goes from 0, a year ago, to 1."""

    course: Course
    booking: UUID
    start: datetime
    progress: float
    event: Event | None

    def minute(self, minutes: int) -> datetime:
        return self.start + timedelta(minutes=minutes)

    def keep(self) -> datetime:
        """Goes through it; returns when it was over."""
        course, event = self.course, self.event
        if event and event.what == "entered_in_error":
            self._slip(event)
        seen = care.findings(
            course.kind, event, course.marks, self.progress, course.world.log.chance
        )
        health, foot = self._answers(seen, event if event and event.what == "referred" else None)
        asked = self._judge(health, [])
        screen = self._screen(self.minute(5), health, asked)
        if rank(asked.outcome) >= rank("refer_first"):
            return self._refer(screen, self.minute(7))
        judged = self._judge(health | foot, seen)
        check = self._check(screen, foot, seen, judged)
        if rank(judged.outcome) >= rank("refer_first"):
            return self._refer(check, self.minute(14))
        if judged.outcome == "needs_clearance" and not course.cleared_on(self.start.date()):
            agreements.cleared_from(course, judged, self.start)
            return self._cancel(self.minute(14), "Waiting for a clinician's written word.")
        consent = agreements.consented(course, self.minute(14))
        return self._visit({"screen": screen, "check": check, "consent": consent}, judged, seen)

    def _answers(self, seen: Findings, event: Event | None) -> tuple[Answers, Answers]:
        course = self.course
        told = course.world.scenario.calm | course.kind.answers | (event.answers if event else {})
        return answer_all(course.world.book, told, course.kind.not_felt, seen, self._age())

    def _age(self) -> int:
        return age_on(self.course.client.born, self.start.date())

    def _judge(self, answers: Answers, seen: Findings) -> Judgement:
        return self.course.world.book.judge(answers, seen, self._age())

    def _slip(self, event: Event) -> None:
        """A wrong tap, seen at once and marked as such; the screen is then done again."""
        health, _ = self._answers([], event)
        screen = self._screen(self.minute(1), health, self._judge(health, []))
        self.course.say(
            self.minute(3),
            "mark_entered_in_error",
            what="health_screen",
            row=screen,
            reason=event.reason,
        )

    def _screen(self, at: datetime, health: Answers, judged: Judgement) -> UUID:
        course, contact = self.course, self.course.client.contact
        row = course.new_id(at)
        by_other = course.kind.answered_by != "client"
        course.say(
            at,
            "record_screen",
            screen=row,
            client=course.id,
            answers=health,
            answered_by=course.kind.answered_by,
            answered_by_name=contact.name if by_other and contact else "",
            screened_at=at,
            shown_outcome=judged.outcome,
        )
        return row

    def _check(self, screen: UUID, foot: Answers, seen: Findings, judged: Judgement) -> UUID:
        at = self.minute(12)
        row = self.course.new_id(at)
        self.course.say(
            at,
            "record_foot_check",
            check=row,
            client=self.course.id,
            screen=screen,
            answers=foot,
            findings=seen,
            checked_at=at,
            shown_outcome=judged.outcome,
        )
        return row

    def _refer(self, referral: UUID, at: datetime) -> datetime:
        """The server makes the referral from the record; it has the record's id."""
        agreements.answered(self.course, referral, at, self.event)
        return self._cancel(at, "Referred first.")

    def _cancel(self, at: datetime, reason: str) -> datetime:
        self.course.say(
            at, "cancel_booking", booking=self.booking, seen=0, code="not_ready", reason=reason
        )
        return at

    def _visit(self, rows: Mapping[str, UUID], judged: Judgement, seen: Findings) -> datetime:
        course, event, started, ended = self.course, self.event, self.minute(16), self.minute(42)
        visit = {
            "visit": course.new_id(started),
            "booking": self.booking,
            "client": course.id,
            "started_at": started,
            **rows,
        }
        course.say(started, "start_visit", **visit)
        world = course.world
        done = care.Care(
            world.book, world.scenario.practice, course.kind, judged.limits, event
        ).record(seen, started, world.log.chance)
        done["aftercare"] = list(judged.aftercare)
        reported = course.say(ended, "complete_visit", **visit, ended_at=ended, **done)
        if event and event.closed:
            self._close(reported, event.closed)
        return ended

    def _close(self, reported: UUID, note: str) -> None:
        """The owner looks at it two days later."""
        world = self.course.world
        at = world.diary.at((self.start + timedelta(days=2)).date(), EVENING)
        owner = world.scenario.practice.owner
        world.log.say(owner, at, "close_incident", reported, note=note)
