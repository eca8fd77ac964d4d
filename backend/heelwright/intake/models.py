"""What was asked, seen, agreed and answered before work on a foot."""

from datetime import datetime
from uuid import UUID

from django.db import models

from heelwright.intake import signing_models  # noqa: F401 - so that Django finds them
from heelwright.intake.evidence_record import EvidenceRecord
from heelwright.people.models import Client
from heelwright.tenancy.models import Practice
from heelwright.vault.fields import SealedField


class HealthScreen(EvidenceRecord):
    """One asking of the health questions, with what the rulebook made of it at the time.

    `seen` are the ids of the screens of this client that were on the phone when the asking began;
    the server may not have them. `confirmed` are the questions whose answers were said to be still
    so as `from_screen` has them. `asked_rulebook` is the edition that was asked by, empty where the
    phone did not say; `rulebook` the one that judged.
    """

    screened_at = models.DateTimeField()
    seen = models.JSONField(default=list)
    answers = SealedField(dict)
    answered_by = SealedField(str)
    answered_by_name = SealedField(str, default="")
    from_screen = models.UUIDField(null=True, default=None)
    # None on screens from before it was kept, which no migration can open: all was asked.
    confirmed = SealedField(list, null=True)
    asked_rulebook = models.CharField(max_length=64, blank=True, default="")
    judgement = SealedField(dict)


class FootCheck(EvidenceRecord):
    """One look at both feet, judged together with the health screen it followed.

    `screen` is None where the server has no such screen and the feet alone refer the client on.
    `seen` are the foot checks of this client that were on the phone when the look began. `gone` are
    the ids of earlier findings that were looked for and are no longer there; none in older rows.
    """

    screen = models.ForeignKey(HealthScreen, on_delete=models.PROTECT, null=True)
    checked_at = models.DateTimeField()
    seen = models.JSONField(default=list)
    answers = SealedField(dict)
    findings = SealedField(list)
    gone = SealedField(list, null=True, default=None)
    judgement = SealedField(dict)


class ErrorMark(EvidenceRecord):
    """Says that a screen or a foot check was a slip. What it points at stays."""

    screen = models.OneToOneField(
        HealthScreen, on_delete=models.PROTECT, null=True, related_name="error_mark"
    )
    check_of_feet = models.OneToOneField(
        FootCheck, on_delete=models.PROTECT, null=True, related_name="error_mark"
    )
    reason = SealedField(str)
    marked_at = models.DateTimeField()


class Referral(EvidenceRecord):
    """Somebody else must see a client first, or must say that the work may be done. Has the id of
    the screen or foot check that made it, or names it in `of_record` where that had made one."""

    made_at = models.DateTimeField()
    from_kind = models.CharField(max_length=16)
    of_record = models.UUIDField(null=True, default=None)
    judgement = SealedField(dict)
    findings = SealedField(list)

    @property
    def record_id(self) -> UUID:
        """Of the screen or the foot check that made it."""
        return self.of_record or self.pk


class ReferralStep(EvidenceRecord):
    """Something that became of a referral on its way: printed, handed over, acknowledged.

    `how` it was handed over; `to` is who has it, or who acknowledged it.
    """

    referral = models.ForeignKey(Referral, on_delete=models.PROTECT, related_name="steps")
    what = SealedField(str)
    how = SealedField(str)
    to = SealedField(str)
    note = SealedField(str)
    done_at = models.DateTimeField()


class ReferralAnswer(EvidenceRecord):
    """What a clinician answered. `verdict` is None where it was written down before there were
    verdicts: then it let the work go on. `written_at` is when it was written down, where it counts
    from later: it speaks of nothing that was found in between."""

    referral = models.ForeignKey(Referral, on_delete=models.PROTECT, related_name="answers")
    clinician = SealedField(str)
    clinician_role = SealedField(str)
    answered_on = models.DateField()
    recorded_at = models.DateTimeField()
    written_at = models.DateTimeField(null=True, default=None)
    answer = SealedField(str)
    verdict = SealedField(str, null=True, default=None)


class Clearance(EvidenceRecord):
    """A named clinician says what may be done, and until when. `covers` are the rules it speaks
    to; `recorded_at` is when it was written down.

    `limits` has the fields of a book's limit that it tightens, or is None. What shows that it was
    given: a photo of the paper, `evidence_photo`, or a note.
    """

    clinician = SealedField(str)
    clinician_role = SealedField(str)
    given_on = models.DateField()
    expires_on = models.DateField()
    covers = SealedField(list)
    scope = SealedField(str)
    recorded_at = models.DateTimeField()
    limits = SealedField(dict, null=True, default=None)
    evidence_photo = models.UUIDField(null=True, default=None)
    evidence_note = SealedField(str, null=True, default=None)


class ClearanceWithdrawal(EvidenceRecord):
    """A clearance holds no longer. Two people may say so; the earlier one counts."""

    clearance = models.ForeignKey(Clearance, on_delete=models.PROTECT, related_name="withdrawals")
    reason = SealedField(str)
    withdrawn_at = models.DateTimeField()

    @property
    def ends_at(self) -> datetime:
        return self.counted(self.withdrawn_at)


class ConsentSheet(EvidenceRecord):
    """What was decided at one sitting: who signed, how, where, and what was shown.

    `picture` is drawn from `strokes` by `signature.py`; `shown_sha256` is what the phone says that
    it showed, sealed because names can be guessed. `paper_photo` is the id of a photo.
    """

    language = models.CharField(max_length=3)
    how = models.CharField(max_length=10)
    device_kind = models.CharField(max_length=20)
    place_kind = models.CharField(max_length=20)
    paper_photo = models.UUIDField(null=True)
    decided_at = models.DateTimeField()
    place = SealedField(str)
    signer_name = SealedField(str)
    signer_role = SealedField(str)
    ground = SealedField(str)
    authority = SealedField(str)
    capacity = SealedField(dict)
    witness = SealedField(str)
    presented = SealedField(str)
    own_wish = SealedField(bool)
    said = SealedField(str)
    strokes = SealedField(list)
    picture = SealedField(str)
    shown_sha256 = SealedField(str)


class Consent(EvidenceRecord):
    """A yes or a no to one consent text, with what was around it.

    `witness` is who saw a person sign who cannot draw a signature. One of a sheet has its signature
    there, and `position` tells the order; one by an older app has no sheet. `counts` is False for a
    yes by a client of whom the technician did not say that they can decide, and for one by a link
    that had ended.
    """

    text_id = models.CharField(max_length=60)
    text_version = models.IntegerField(null=True, default=None)
    text_hash = models.CharField(max_length=64)
    purpose = models.CharField(max_length=20, default="treatment")
    agreed = models.BooleanField(default=True)
    counts = models.BooleanField(default=True)
    sheet = models.ForeignKey(
        ConsentSheet, on_delete=models.PROTECT, null=True, related_name="decisions"
    )
    position = models.SmallIntegerField(default=0)
    signer_name = SealedField(str)
    signer_role = SealedField(str)
    authority = SealedField(str, default="")
    witness = SealedField(str, default="")
    presented = SealedField(str)
    own_wish = SealedField(bool, default=True)
    strokes = SealedField(list)
    signed_at = models.DateTimeField()


class ConsentWithdrawal(EvidenceRecord):
    """The client, or who may sign for them, says no from now on."""

    consent = models.OneToOneField(Consent, on_delete=models.PROTECT, related_name="withdrawal")
    reason = SealedField(str)
    withdrawn_at = models.DateTimeField()

    @property
    def ends_at(self) -> datetime:
        return self.counted(self.withdrawn_at)


class NotReady(models.Model):
    """A resident can't be visited after `last_day`, or not at all: what `not_ready.py` says of them
    to coordinators. No record of its own; made anew from those that are."""

    id = models.UUIDField(primary_key=True)
    practice = models.ForeignKey(Practice, on_delete=models.PROTECT)
    client = models.ForeignKey(Client, on_delete=models.PROTECT, related_name="+")
    last_day = models.DateField(null=True)
    clinician = models.BooleanField()
