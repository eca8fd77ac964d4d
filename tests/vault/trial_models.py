"""Models with sealed fields of every kind, for the tests of the vault alone."""

from datetime import date
from typing import ClassVar
from uuid import UUID

from django.db import models

from heelwright.ids import new_id
from heelwright.vault.fields import SealedField
from heelwright.vault.models import SealedModel


class Person(SealedModel):
    """About itself: its own id is the subject."""

    objects: ClassVar[models.Manager["Person"]] = models.Manager()

    id = models.UUIDField(primary_key=True, default=new_id)
    practice_id = models.UUIDField()
    shelf = models.CharField(max_length=20, default="")
    number = models.IntegerField(unique=True, null=True)
    name = SealedField(str)
    born = SealedField(date, null=True)
    age = SealedField(int, null=True)
    careful = SealedField(bool, null=True)
    answers = SealedField(dict, default=dict)
    places = SealedField(list, default=list)

    class Meta:
        app_label = "vault_trial"

    def seal_subject(self) -> UUID:
        return self.id


class Remark(SealedModel):
    """About a client where there is one, else about the practice."""

    objects: ClassVar[models.Manager["Remark"]] = models.Manager()

    id = models.UUIDField(primary_key=True, default=new_id)
    practice_id = models.UUIDField()
    client_id = models.UUIDField(null=True)
    person = models.ForeignKey(Person, on_delete=models.CASCADE, null=True)
    text = SealedField(str)
    other = SealedField(str, null=True)

    class Meta:
        app_label = "vault_trial"


class Letter(SealedModel):
    """The same columns as a remark, in another table."""

    objects: ClassVar[models.Manager["Letter"]] = models.Manager()

    id = models.UUIDField(primary_key=True, default=new_id)
    practice_id = models.UUIDField()
    client_id = models.UUIDField(null=True)
    text = SealedField(str)

    class Meta:
        app_label = "vault_trial"


TRIAL_MODELS = (Person, Remark, Letter)
