"""A slip of the finger: marked as entered in error, kept, told to the owner.

It takes back the record and the referral made by it, and nothing else: what later records found
stands, and is referred anew where it had leaned on that referral.
"""

from datetime import timedelta

from heelwright.commandlog.act import Act
from heelwright.commandlog.registry import command
from heelwright.declarations import Power, Refused
from heelwright.ids import new_id
from heelwright.intake.arguments import MarkEnteredInError
from heelwright.intake.late import on_record
from heelwright.intake.models import ErrorMark, FootCheck, HealthScreen
from heelwright.intake.records import by, happened_at
from heelwright.intake.referring import made_by, not_referred, refer
from heelwright.people.access import client_for
from heelwright.people.books import book_of


@command(Power.PERMISSION, MarkEnteredInError)
def mark_entered_in_error(act: Act, args: MarkEnteredInError) -> None:
    """The same person, within minutes, with a reason."""
    model = HealthScreen if args.what == "health_screen" else FootCheck
    record = model.objects.filter(practice=act.practice, pk=args.row).first()
    if record is None:
        raise Refused("not_found", "This record was not found.", "Sync, look again.", "row")
    client = client_for(act, record.client_id, field="row")
    _may_mark(act, record)
    mark = ErrorMark(
        id=new_id(),
        screen=record if isinstance(record, HealthScreen) else None,
        check_of_feet=record if isinstance(record, FootCheck) else None,
        reason=args.reason,
        marked_at=act.made_at,
        **by(act, client),
    )
    with on_record(act, client, happened_at(record)):
        mark.save()
        act.announce(record)
        for referral in made_by(record):
            act.announce(referral)
        act.raise_incident("entered_in_error", record, [args.reason], client.pk)
        _refer_what_leaned_on(act, record)


def _may_mark(act: Act, record: HealthScreen | FootCheck) -> None:
    if hasattr(record, "error_mark"):
        raise Refused("marked_already", "This is marked already.", "Nothing needs doing.", "row")
    if record.staff_id != act.staff.pk:
        raise Refused(
            "not_yours", "Only the person who entered this can mark it.", "Ask them.", field="row"
        )
    minutes = book_of(act.practice).content.settings.entered_in_error_minutes
    if not _within(act, record, timedelta(minutes=minutes)):
        raise Refused(
            "too_late",
            f"This can be marked only within {minutes} minutes.",
            "Record what a clinician answers to the referral, then screen again.",
            field="row",
        )


def _within(act: Act, record: HealthScreen | FootCheck, window: timedelta) -> bool:
    """By the device's clock and by the server's: once the server has had a referral for that long,
    no clock that is set back takes it away."""
    done_at = record.screened_at if isinstance(record, HealthScreen) else record.checked_at
    by_device, by_server = act.made_at - done_at, act.now - record.received_at
    return timedelta(0) <= by_device <= window and by_server <= window


def _refer_what_leaned_on(act: Act, slip: HealthScreen | FootCheck) -> None:
    """Records that came while the slip's referral was waiting made none of their own."""
    for model in (HealthScreen, FootCheck):
        later = model.objects.filter(
            client=slip.client, error_mark=None, received_at__gte=slip.received_at
        ).order_by("received_at", "pk")
        for record in not_referred(slip.client, later):
            refer(act, record)
