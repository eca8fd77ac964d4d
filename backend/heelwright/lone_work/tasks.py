"""Tells whoever was named that somebody is not back, and that they are after all.

Told at least once: rather twice than not at all, where a worker dies between the mail and its note
here. What is due is found by the rows alone, so that a queue that was emptied loses nothing.
"""

import logging
from collections.abc import Callable
from datetime import datetime, timedelta
from typing import Literal
from uuid import UUID

from celery import shared_task
from django.core.mail import EmailMessage
from django.db.models import Q, QuerySet

from heelwright import clock, vault
from heelwright.commandlog.console import by_console
from heelwright.commandlog.history import writing
from heelwright.lone_work import letters
from heelwright.lone_work.models import Watch

log = logging.getLogger(__name__)

AGAIN_AFTER = timedelta(minutes=1)
# Nobody noted what came of it, and no mail server is waited for as long.
BROKEN_OFF_AFTER = timedelta(minutes=5)

Word = Literal["alarm", "all_clear"]
LETTERS: dict[Word, Callable[[Watch], letters.Letter]] = {
    "alarm": letters.alarm,
    "all_clear": letters.all_clear,
}


@shared_task
def keep_watch() -> None:
    """Every minute."""
    tell_what_is_due(clock.now())


def tell_what_is_due(now: datetime) -> None:
    for word in LETTERS:
        for watch, practice in list(_due(word, now).values_list("pk", "practice")):
            _tell(word, watch, practice, now)


def _due(word: Word, now: datetime) -> QuerySet[Watch]:
    failed = Q(**{word: "failed"}, alarm_at__lte=now - AGAIN_AFTER)
    broken_off = Q(**{word: "sending"}, alarm_at__lte=now - BROKEN_OFF_AFTER)
    if word == "all_clear":
        return Watch.objects.filter(Q(all_clear="due") | failed | broken_off)
    expected = Watch.objects.filter(ended_at=None, back_by__lte=now)
    return expected.filter(Q(alarm="none") | failed | broken_off)


def _tell(word: Word, watch: UUID, practice: UUID, now: datetime) -> None:
    letter = _claimed(word, watch, practice, now)
    if letter is None:
        return
    try:
        EmailMessage(letter.subject, letter.text, to=[letter.to]).send()
    except OSError as fault:  # those of smtplib are among them
        # The cause may quote the address.
        log.error("a mail about a watch was not sent: %s", type(fault).__name__)  # noqa: TRY400
        _note(word, watch, practice, "failed", now)
    else:
        _note(word, watch, practice, "told", now)


def _claimed(word: Word, watch_id: UUID, practice: UUID, now: datetime) -> letters.Letter | None:
    """The letter to send, where no other worker has taken it."""
    with writing(now, pk=practice) as locked, vault.unit():
        watch = _due(word, now).filter(pk=watch_id).select_related("staff", "practice").first()
        if watch is None:
            return None
        setattr(watch, word, "sending")
        watch.alarm_at = now
        by_console(locked, now).put(watch)
        return LETTERS[word](watch)


def _note(word: Word, watch_id: UUID, practice: UUID, came_to: str, now: datetime) -> None:
    with writing(now, pk=practice) as locked, vault.unit():
        watch = Watch.objects.get(pk=watch_id)
        if getattr(watch, word) == "sending":
            setattr(watch, word, came_to)
            by_console(locked, now).put(watch)
