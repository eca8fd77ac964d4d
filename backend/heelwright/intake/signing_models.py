"""A link by which a client signs on their own phone, and the phone that opened it."""

from django.db import models

from heelwright.intake.evidence_record import EvidenceRecord
from heelwright.tenancy.models import Device
from heelwright.vault.fields import SealedField


class SigningOffer(EvidenceRecord):
    """A link by which a client signs on their own phone: what is put to them, as the technician
    found them. Never written again: how it went on, its opening, its device and the log tell.

    It has the id of the `Device` that speaks for that phone. `offered_from` is the phone of the
    technician, `card` the client's card by the id that it had then, `sheet` and `answer` the ids
    of the sheet and of the command to come. `open_until` is by the server's clock. Each of `texts`
    has the fields of a `SheetText`.
    """

    offered_from = models.ForeignKey(Device, on_delete=models.PROTECT, related_name="+")
    token_sha256 = models.CharField(max_length=64, unique=True)
    card = models.UUIDField()
    sheet = models.UUIDField(unique=True)
    answer = models.UUIDField()
    offered_at = models.DateTimeField()
    open_until = models.DateTimeField()
    language = models.CharField(max_length=3)
    how = models.CharField(max_length=10)
    place_kind = models.CharField(max_length=20)
    place = SealedField(str)
    texts = SealedField(list)
    signer_name = SealedField(str)
    signer_role = SealedField(str)
    ground = SealedField(str)
    authority = SealedField(str)
    capacity = SealedField(dict)
    witness = SealedField(str)
    own_wish = SealedField(bool)


class SigningOpening(EvidenceRecord):
    """The first phone that opened an offer; no other one may. `phone_sha256` is the SHA-256, in
    hex, of a secret that this phone made."""

    offer = models.OneToOneField(SigningOffer, on_delete=models.PROTECT, related_name="opening")
    phone_sha256 = models.CharField(max_length=64)
    opened_at = models.DateTimeField()
