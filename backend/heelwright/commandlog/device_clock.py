"""How far a device's clock is believed.

Work without signal arrives days late, so the past is open. The future is not: a clock that runs
ahead would keep old answers valid for longer. No order depends on these clocks.
"""

from datetime import UTC, datetime, timedelta

from heelwright.declarations import Power, Refused

EARLIEST = datetime(2020, 1, 1, tzinfo=UTC)
LATEST = datetime(2100, 1, 1, tzinfo=UTC)
SLACK = timedelta(minutes=10)
FAR_AHEAD = timedelta(days=1)


def check_made_at(made_at: datetime, now: datetime, power: Power) -> None:
    """Raise Refused for a command from a clock that is far off.

    A report is refused only where the day is wrong too; one from a clock a little ahead is kept and
    flagged, see `strays`.
    """
    if made_at < EARLIEST:
        raise Refused(
            "date_too_early",
            "The device's clock is far off.",
            "Set the date of the device, then enter this again.",
            field="made_at",
        )
    if made_at > now + (FAR_AHEAD if power is Power.REPORT else SLACK):
        raise Refused(
            "date_too_late",
            "The device's clock is ahead.",
            "Set the date and the time of the device, then enter this again.",
            field="made_at",
        )


def strays(made_at: datetime, now: datetime, before: datetime | None) -> str | None:
    """What the owner should know of a clock: that it runs ahead, or that it was set back.

    `before` is when the device's command before this one was made.
    """
    if made_at > now + SLACK:
        return "clock_ahead"
    if before is not None and made_at < before - SLACK:
        return "clock_set_back"
    return None


def check_not_ahead(moment: datetime, made_at: datetime, field: str) -> None:
    """Raise Refused where something is told before it was done."""
    if moment > made_at + SLACK:
        raise Refused("date_too_late", "This time lies ahead.", "Check the time.", field=field)
