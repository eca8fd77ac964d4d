"""Lays out what was on record about a client at a moment, for the pure decision in `rules.py`.

A visit that is told of days later is judged by what stood when it began, so everything here is cut
off at that moment. A time that lies ahead of the server's counts as when the server had it.
"""

from collections.abc import Iterable, Iterator
from datetime import datetime
from uuid import UUID

from django.db.models.functions import Least

from heelwright.intake.asked_before import Released, asked_before
from heelwright.intake.clearances import ClearanceFact, covered, covered_since
from heelwright.intake.decided import decisions
from heelwright.intake.models import (
    Clearance,
    ErrorMark,
    FootCheck,
    HealthScreen,
    Referral,
)
from heelwright.intake.records import (
    checks_that_count,
    happened_at,
    judged_together,
    local_day,
    screens_that_count,
    withdrawal_of,
)
from heelwright.intake.rules import (
    ConsentFact,
    Facts,
    ReferralFact,
    asks,
    ends_at,
    may_ask,
    serious,
)
from heelwright.intake.verdicts import FREEING, AnswerFact, refused, released_at, released_by
from heelwright.people.books import book_of
from heelwright.people.models import Client
from heelwright.tenancy.models import Practice


def facts_about(client: Client, at: datetime) -> Facts:
    """Everything `standing` needs to decide whether work on this client may start at a moment."""
    screens, checks = screens_that_count(client, at), checks_that_count(client, at)
    referrals = referrals_that_hold(client, at)
    before = asked_before(client, at, list(_released(referrals, at)))
    return Facts(
        at=at,
        day=local_day(client.practice, at),
        valid_hours=book_of(client.practice).content.settings.screen_valid_hours,
        decides_for_self=client.decides_for_self,
        screened_at=happened_at(screens[0]) if screens else None,
        checked_at=happened_at(checks[0]) if checks else None,
        judgement=judged_together(client, at, screens, checks, before),
        referrals=[ReferralFact(r.judgement["outcome"], answers_by(r, at)) for r in referrals],
        clearances=list(_clearances(client, at)),
        consents=list(_consents(client, at)),
    )


def released_referrals(client: Client, at: datetime) -> list[Released]:
    """Those that a clinician's yes had released by a moment."""
    return list(_released(referrals_that_hold(client, at), at))


def _released(referrals: Iterable[Referral], at: datetime) -> Iterator[Released]:
    for referral in referrals:
        yes = released_by(answers_by(referral, at))
        # Where only a clearance is asked for, nothing less settles it.
        if yes is not None and serious(referral.judgement):
            rules = frozenset(rule["id"] for rule in referral.judgement["fired"])
            yield Released(referral.record_id, yes.written_at or yes.recorded_at, rules)


def referrals_that_hold(client: Client, at: datetime) -> list[Referral]:
    """All that speak at a moment: a referral does from when the screen or check that made it was
    done, and no longer where that was entered in error, unless a clinician has said no to it."""
    slips = _slips(client, at)
    return [
        r
        for r in _made_by(client, at)
        if r.record_id not in slips or any(a.verdict not in FREEING for a in answers_by(r, at))
    ]


def referrals_waiting(client: Client, at: datetime) -> list[Referral]:
    """Those that ask for a clinician's word, or have a no, and have not let the client go."""
    given = list(_clearances(client, at))
    speaking = referrals_that_hold(client, at)
    return [
        r
        for r in speaking
        if released_at(answers_by(r, at)) is None and not _settled(r, at, given, speaking)
    ]


def referrals_to_lean_on(client: Client, at: datetime) -> list[Referral]:
    """Those waiting that a later record need not make again: none of a slip, whose no may be to
    something else than what was found since."""
    slips = _slips(client, at)
    return [r for r in referrals_waiting(client, at) if r.record_id not in slips]


def covered_now(client: Client, at: datetime) -> set[str]:
    """The rules covered by the clearances in force."""
    return covered(_clearances(client, at), at, local_day(client.practice, at))


def _settled(
    referral: Referral, at: datetime, given: list[ClearanceFact], others: list[Referral]
) -> bool:
    """A letter that only asked for a clearance: one came, a newer letter told the same, somebody
    called it off and said why, or it asked for want of a look that was had since. A clinician's no
    is settled by another answer alone. The twin is in `domain/referrals.ts`."""
    if serious(referral.judgement) or refused(answers_by(referral, at)):
        return False
    day = local_day(referral.practice, referral.made_at)
    called_off = any(
        step.what == "called_off" and step.note and step.counted(step.done_at) <= at
        for step in referral.steps.all()
    )
    wanted = asks(referral.judgement)
    told_again = any(
        other.made_at > referral.made_at
        and wanted <= {rule["id"] for rule in other.judgement["fired"]}
        for other in others
    )
    return (
        called_off
        or told_again
        or wanted <= covered_since(given, referral.made_at, day)
        or (
            wanted <= settled_later(referral.practice)
            and _asks_no_more(referral.client, at, wanted)
        )
    )


def settled_later(practice: Practice) -> set[str]:
    """The rules that ask for want of a look, which a later one may give."""
    return {rule.id for rule in book_of(practice).content.rules if rule.settled_later}


def _asks_no_more(client: Client, at: datetime, wanted: set[str]) -> bool:
    """Whether what counts is known not to ask by any of these rules."""
    screens, checks = screens_that_count(client, at), checks_that_count(client, at)
    judgement = judged_together(client, at, screens, checks)
    return judgement is not None and not judgement["held"] and not wanted & may_ask(judgement)


def _made_by(client: Client, at: datetime) -> list[Referral]:
    done: dict[UUID, datetime] = {}
    for model, claimed in ((HealthScreen, "screened_at"), (FootCheck, "checked_at")):
        records = model._default_manager.filter(client=client)
        done |= dict(records.values_list("pk", Least(claimed, "received_at")))
    all_of = Referral.objects.filter(client=client).prefetch_related("answers", "steps")
    return [r for r in all_of if done[r.record_id] <= at]


def _slips(client: Client, at: datetime) -> set[UUID | None]:
    return {
        mark.screen_id or mark.check_of_feet_id
        for mark in ErrorMark.objects.filter(client=client)
        if mark.counted(mark.marked_at) <= at
    }


def answers_by(referral: Referral, at: datetime) -> list[AnswerFact]:
    """Those that had come on record by a moment, the first first."""
    given = [
        AnswerFact(a.answered_on, a.counted(a.recorded_at), a.verdict or "may", a.written_at)
        for a in referral.answers.all()
    ]
    return sorted((a for a in given if a.recorded_at <= at), key=lambda a: a.recorded_at)


def _clearances(client: Client, at: datetime) -> Iterator[ClearanceFact]:
    for c in Clearance.objects.filter(client=client).prefetch_related("withdrawals"):
        if c.counted(c.recorded_at) <= at:
            end = withdrawal_of(c)
            ends_at = end.ends_at if end else None
            yield ClearanceFact(c.given_on, c.expires_on, frozenset(c.covers), ends_at, c.limits)


def _consents(client: Client, at: datetime) -> Iterator[ConsentFact]:
    made = [one for one in decisions(client, "treatment") if one.at <= at]
    for one in made:
        if one.agreed:
            yield ConsentFact(one.by_representative, one.at, ends_at(one, made))
