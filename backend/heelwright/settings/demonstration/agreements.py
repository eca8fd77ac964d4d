"""Who agreed to what: the client's consent, a clinician's clearance, the answer to a referral."""

import hashlib
import math
from datetime import date, datetime, time, timedelta
from uuid import UUID

from heelwright.rulebook import Judgement
from heelwright.settings.demonstration.course import Course
from heelwright.settings.demonstration.log import Log
from heelwright.settings.demonstration.scenario import Event

CLEARANCE_DAYS = 180
FIRST_WORD = timedelta(days=9)
EVENING = time(17, 45)


def consented(course: Course, at: datetime) -> UUID:
    """The consent that stands; signed now if there is none yet."""
    if course.consent is not None:
        return course.consent
    course.consent = course.new_id(at)
    book, contact = course.world.book, course.client.contact
    text = next(text for text in book.content.consent_texts if text.id == "foot_care")
    represented = course.kind.represented and contact is not None
    words = book.content.words["en"][f"consent.{text.id}"]
    course.say(
        at,
        "sign_consent",
        consent=course.consent,
        client=course.id,
        text_id=text.id,
        text_hash=hashlib.sha256(words.encode()).hexdigest(),
        signer_name=contact.name if represented and contact else course.client.name,
        signer_role="representative" if represented else "client",
        authority="Power of attorney for health, paper seen" if represented else "",
        presented="read_aloud" if represented else "read_self",
        own_wish=True,
        strokes=_signature(course.world.log),
        signed_at=at,
    )
    return course.consent


def _signature(log: Log) -> list[list[dict[str, float]]]:
    """Two strokes of a pen, no letters."""
    return [_stroke(log, left, top) for left, top in ((20, 60), (120, 70))]


def _stroke(log: Log, left: float, top: float) -> list[dict[str, float]]:
    height = log.chance.uniform(10, 25)
    return [
        {
            "x": round(left + 8 * step, 1),
            "y": round(top + height * math.sin(step * 1.3), 1),
            "t": 16 * step,
        }
        for step in range(14)
    ]


def cleared_from(course: Course, judged: Judgement, at: datetime) -> None:
    """A clinician's clearance comes some days later and is renewed before it runs out, all year."""
    clearance, world = course.kind.clearance, course.world
    if clearance is None:
        return
    clinician = world.scenario.practice.clinicians[clearance.by]
    covers = [rule.id for rule in judged.fired if rule.outcome == "needs_clearance"]
    for start, end in _periods(course, (at + FIRST_WORD).date()):
        given_at = world.diary.at(start, EVENING)
        course.cleared.append((start, end))
        course.say(
            given_at,
            "record_clearance",
            clearance=course.new_id(given_at),
            client=course.id,
            clinician=clinician.name,
            clinician_role=clinician.role,
            given_on=start,
            expires_on=end,
            covers=covers,
            scope=clearance.scope,
            evidence_note=clearance.shown,
        )


def _periods(course: Course, start: date) -> list[tuple[date, date]]:
    """From a day on, each renewed a week before its end; the last may end as the scenario says."""
    today, ended = course.world.today, course.client.clearance_ended
    last = None if ended is None else today - timedelta(days=ended)
    periods = []
    while start < (last or today):
        end = start + timedelta(days=CLEARANCE_DAYS)
        periods.append((start, min(end, last) if last else end))
        start = end - timedelta(days=7)
    return periods


def answered(course: Course, referral: UUID, at: datetime, event: Event | None) -> None:
    """What the clinician said some days later, if anything."""
    if event is None or event.answered_after is None:
        return
    world = course.world
    clinician = world.scenario.practice.clinicians[event.by]
    day = (at + timedelta(days=event.answered_after)).date()
    course.say(
        world.diary.at(day, EVENING),
        "record_referral_answer",
        referral=referral,
        clinician=clinician.name,
        clinician_role=clinician.role,
        answered_on=day,
        answer=event.answer,
    )
