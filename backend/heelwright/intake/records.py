"""Reads the screens and foot checks on record about a client, and what the rulebook makes of
them."""

from collections.abc import Collection, Mapping, Sequence
from contextlib import suppress
from datetime import date, datetime, timedelta
from itertools import product
from typing import Any, TypeGuard, TypeVar
from zoneinfo import ZoneInfo

from django.db.models import QuerySet
from django.db.models.functions import Least
from django.db.models.lookups import GreaterThanOrEqual, LessThanOrEqual

from heelwright.commandlog.act import Act
from heelwright.commandlog.device_clock import EARLIEST
from heelwright.intake.models import Clearance, ClearanceWithdrawal, FootCheck, HealthScreen
from heelwright.intake.rules import RecordFact, asks, rank, serious, stand_together
from heelwright.people.books import book_of
from heelwright.people.models import Client
from heelwright.people.rules import age_on
from heelwright.rulebook import InvalidAnswers, Judgement
from heelwright.tenancy.models import Practice

Asked = TypeVar("Asked", HealthScreen, FootCheck)
# Of more pairs of a screen and a foot check that stand together the newest are judged; the client
# is held until asked again. `pwa/src/routes/client/judge-together.ts` does alike.
MOST_TOGETHER = 8
Pair = tuple[HealthScreen, FootCheck | None]


def local_day(practice: Practice, moment: datetime) -> date:
    return moment.astimezone(ZoneInfo(practice.zone)).date()


def age_at(client: Client, moment: datetime) -> int:
    return max(0, age_on(date.fromisoformat(client.born), local_day(client.practice, moment)))


def by(act: Act, client: Client) -> dict[str, Any]:
    """Who writes a row about a client, by which edition, and when it reached the server."""
    return {
        "practice": act.practice,
        "client": client,
        "staff": act.staff,
        "rulebook": book_of(act.practice).version,
        "received_at": act.now,
    }


def newest_screen(client: Client, at: datetime) -> HealthScreen | None:
    return _newest(_screens(client), "screened_at", at)


def newest_check(client: Client, at: datetime) -> FootCheck | None:
    return _newest(_checks(client), "checked_at", at)


def screens_that_count(client: Client, at: datetime) -> list[HealthScreen]:
    """Those that stand together at a moment, the newest first."""
    return _that_count(client, _screens(client), "screened_at", at)


def checks_that_count(client: Client, at: datetime) -> list[FootCheck]:
    """Those that stand together at a moment, the newest first."""
    return _that_count(client, _checks(client), "checked_at", at)


def _screens(client: Client) -> QuerySet[HealthScreen]:
    return HealthScreen.objects.filter(client=client)


def _checks(client: Client) -> QuerySet[FootCheck]:
    return FootCheck.objects.filter(client=client)


def _newest(records: QuerySet[Asked], claimed: str, at: datetime) -> Asked | None:
    """The last one at a moment, or None where that was entered in error: it must then be done
    again."""
    newest = _between(records, claimed, EARLIEST, at).first()
    return None if newest is None or hasattr(newest, "error_mark") else newest


def _that_count(
    client: Client, records: QuerySet[Asked], claimed: str, at: datetime
) -> list[Asked]:
    newest = _newest(records, claimed, at)
    if newest is None:
        return []
    hours = book_of(client.practice).content.settings.screen_valid_hours
    current = _between(records, claimed, happened_at(newest) - timedelta(hours=hours), at)
    by_id = {str(record.pk): record for record in current}
    facts = [
        RecordFact(id_, happened_at(r), frozenset(r.seen), hasattr(r, "error_mark"))
        for id_, r in by_id.items()
    ]
    return [by_id[id_] for id_ in stand_together(facts, hours)]


def records_between(
    client: Client, since: datetime, at: datetime
) -> list[HealthScreen | FootCheck]:
    """All that were done from one moment to another, whether they count or not."""
    screens = _between(_screens(client), "screened_at", since, at)
    return [*screens, *_between(_checks(client), "checked_at", since, at)]


def _between(
    records: QuerySet[Asked], claimed: str, since: datetime, at: datetime
) -> QuerySet[Asked]:
    """The newest first. One from a clock that ran ahead counts from when the server had it."""
    moment = Least(claimed, "received_at")
    by_then = records.filter(GreaterThanOrEqual(moment, since), LessThanOrEqual(moment, at))
    return by_then.select_related("error_mark").order_by(moment.desc(), "-pk")


def happened_at(record: HealthScreen | FootCheck) -> datetime:
    """When it was done, as far as the device's clock is believed."""
    claimed = record.screened_at if isinstance(record, HealthScreen) else record.checked_at
    return record.counted(claimed)


def withdrawal_of(clearance: Clearance) -> ClearanceWithdrawal | None:
    """The one that counts: the earliest."""
    return min(clearance.withdrawals.all(), key=lambda each: each.ends_at, default=None)


def judge(
    client: Client,
    at: datetime,
    health: Mapping[str, Any],
    foot: Mapping[str, Any] | None = None,
    findings: Sequence[Mapping[str, Any]] = (),
) -> Judgement:
    """What the practice's rulebook makes of these answers at a client's age on that day.

    Health questions are answered by the health screen alone and foot questions by the foot check,
    so that neither can take back what the other says. Questions that this edition of the book does
    not have are passed over: a device may be an edition ahead or behind. Raises InvalidAnswers for
    an answer that can't be read.
    """
    book = book_of(client.practice)
    part_of = {q.id: group.part for group in book.content.groups for q in group.questions}
    answers = {key: value for key, value in health.items() if part_of.get(key) == "health"}
    answers |= {key: value for key, value in (foot or {}).items() if part_of.get(key) == "foot"}
    return book.judge(answers, findings, age_at(client, at))


def judged_together(
    client: Client,
    at: datetime,
    screens: Sequence[HealthScreen],
    checks: Sequence[FootCheck],
    asked_before: Collection[str] = (),
) -> dict[str, Any] | None:
    """The worse of what each screen comes to with each foot check, with the clearances that were
    asked for before. None where there is no screen or none is read."""
    return _joined(client, at, [(s, c) for s in screens for c in checks or (None,)], asked_before)


def _joined(
    client: Client, at: datetime, pairs: Sequence[Pair], asked_before: Collection[str] = ()
) -> dict[str, Any] | None:
    """Open where a pair is not read: this edition can't read the answers, or there are too many."""
    readable = []
    for screen, check in pairs[:MOST_TOGETHER]:
        foot, findings = (check.answers, check.findings) if check else ({}, [])
        with suppress(InvalidAnswers):
            readable.append(judge(client, at, screen.answers, foot, findings))
    if not readable:
        return None
    joined = book_of(client.practice).join(readable, asked_before).as_json()
    return joined | {"held": joined["held"] or len(readable) < len(pairs)}


def in_itself(record: HealthScreen | FootCheck) -> dict[str, Any]:
    """What a record came to. A foot check whose screen was a slip is read by the feet alone; where
    the book of today cannot read them, what they came to with the slip is no milder."""
    if isinstance(record, FootCheck) and hasattr(record.screen, "error_mark"):
        with suppress(InvalidAnswers):
            feet = judge(record.client, record.checked_at, {}, record.answers, record.findings)
            return feet.as_json()
    return dict(record.judgement)


def _tells(screen: HealthScreen | None) -> TypeGuard[HealthScreen]:
    return screen is not None and not hasattr(screen, "error_mark")


def worse_together(record: HealthScreen | FootCheck, at: datetime) -> dict[str, Any] | None:
    """This record with each of the other kind that count, as `standing` reads them, where it counts
    itself and together they ask for somebody's word that none asked for when it came; None
    otherwise. Where they refer the client on, only what does so makes the difference.

    A foot check names the screen before it. A screen after it may say what makes its findings
    serious, and must not be taken back by a third.
    """
    client = record.client
    hours = book_of(client.practice).content.settings.screen_valid_hours
    pairs = [
        (screen, check)
        for screen, check in product(screens_that_count(client, at), checks_that_count(client, at))
        if record in (screen, check)
        and abs(happened_at(screen) - happened_at(check)) <= timedelta(hours=hours)
    ]
    if pairs and isinstance(record, FootCheck) and _tells(record.screen):
        # With the screen that it names it may say worse than with any that counts.
        own = (record.screen, record)
        pairs = [own, *(pair for pair in pairs if pair != own)]
    both = _joined(client, happened_at(record), pairs)
    if both is None:
        return None
    found = serious if serious(both) else asks
    known = {rule for pair in pairs for each in pair for rule in found(in_itself(each))}
    return both if found(both) - known else None


def readings(record: HealthScreen | FootCheck, now: datetime) -> list[dict[str, Any]]:
    """What a record comes to, the worst first: beside those of the other kind that counted when it
    was done or at any time since, and in itself.

    One that comes late is read as it would have been in time: what has eased it since takes no
    finding back. Of more moments than are judged, the first and the newest are.
    """
    client, since = record.client, happened_at(record)
    hours = book_of(client.practice).content.settings.screen_valid_hours
    until = min(now, since + timedelta(hours=hours))
    moments = sorted({since, *map(happened_at, records_between(client, since, until))})
    judged = {*moments[:1], *moments[-MOST_TOGETHER:]}
    together = (worse_together(record, at) for at in sorted(judged, reverse=True))
    found = [*filter(None, together), in_itself(record)]
    return sorted(found, key=lambda each: -rank(each["outcome"]))
