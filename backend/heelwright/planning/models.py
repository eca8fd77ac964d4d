"""Runs of the planner: working papers. No record comes of one; a person books what they take from
it, by `arrange_visits`."""

from datetime import datetime, timedelta
from typing import Any
from uuid import UUID

from django.db import models

from heelwright.ids import new_id
from heelwright.tenancy.models import Practice, Staff
from heelwright.vault.fields import SealedField
from heelwright.vault.models import SealedModel

# A worker says about every second that it is still at it.
LOST_AFTER = timedelta(seconds=30)
NOT_BEGUN_AFTER = timedelta(minutes=10)


class PlanningRun(SealedModel):
    """`state`: waiting, running, done, failed or cancelled. `trouble` says why one failed, as a
    code; `heard_at` is when its worker was last heard of. `asked` is an `asking.PlanAsked`,
    `result` an `asking.Plan`, null until it is done."""

    id = models.UUIDField(primary_key=True, default=new_id, editable=False)
    practice = models.ForeignKey(Practice, on_delete=models.PROTECT)
    staff = models.ForeignKey(Staff, on_delete=models.PROTECT, related_name="+")
    state = models.CharField(max_length=16, default="waiting")
    trouble = models.CharField(max_length=16, default="")
    percent = models.PositiveSmallIntegerField(default=0)
    asked_at = models.DateTimeField()
    heard_at = models.DateTimeField()
    asked = SealedField(dict)
    result: SealedField[dict[str, Any] | None, dict[str, Any] | None] = SealedField(dict, null=True)

    class Meta:
        indexes = [models.Index(fields=["staff", "asked_at"], name="planning_run_newest")]

    def seal_subject(self) -> UUID:
        return self.practice_id

    def stands(self, now: datetime) -> tuple[str, str]:
        """Its state and trouble: whoever died while they worked on it can't say so."""
        if self.state == "running" and self.heard_at < now - LOST_AFTER:
            return "failed", "worker_lost"
        if self.state == "waiting" and self.asked_at < now - NOT_BEGUN_AFTER:
            return "failed", "not_begun"
        return self.state, self.trouble
