"""A practice, its staff and their devices: rows and sign-in only. Commands about them are in
`people`."""

from datetime import datetime, timedelta

from django.contrib.auth.base_user import AbstractBaseUser, BaseUserManager
from django.db import models

from heelwright.declarations import Role
from heelwright.ids import new_id
from heelwright.vault.fields import SealedField
from heelwright.vault.models import SealedModel

# How long a device that was shut out may hand in what it had not sent, where the practice wants it.
DELIVERS_FOR = timedelta(days=14)


class Practice(models.Model):
    """One business. Its row is the lock that every writer takes first.

    `feed_seq` is the newest number given out on the change feed and `feed_mark` the random mark of
    the transaction that gave it. Below `feed_floor` the feed no longer knows what was removed.
    `lease_days` is how long a device may show records without a word from the server. `own_rules`
    is what the practice adds to the rulebook: rules about nobody, so not sealed.
    """

    id = models.UUIDField(primary_key=True, default=new_id, editable=False)
    name = models.CharField(max_length=120)
    zone = models.CharField(max_length=64, default="UTC")
    units = models.CharField(max_length=8, default="metric")
    place = models.CharField(max_length=8, blank=True, default="")
    # What a clinician answers to: a telephone number, an address. Printed on every letter.
    reply_to = models.CharField(max_length=200, blank=True, default="")
    invented = models.BooleanField(default=False)
    feed_seq = models.BigIntegerField(default=0)
    feed_mark = models.UUIDField(default=new_id)
    feed_floor = models.BigIntegerField(default=0)
    lease_days = models.PositiveSmallIntegerField(default=30)
    own_rules = models.TextField(blank=True, default="")
    # By what the server knows how long a drive takes: a `places.roads.Choice`.
    roads = models.CharField(max_length=16, default="straight_lines")
    # What the owner chose; "" and None leave it to the place.
    currency = models.CharField(max_length=3, blank=True, default="")
    tax_on_top = models.BooleanField(null=True, default=None)

    @property
    def lease_seconds(self) -> int:
        return self.lease_days * 86_400


class StaffManager(BaseUserManager["Staff"]):
    def get_by_natural_key(self, username: str | None) -> "Staff":
        return self.get(email__iexact=username)


class Staff(AbstractBaseUser):
    """A person who works in a practice, and who they sign in as."""

    id = models.UUIDField(primary_key=True, default=new_id, editable=False)
    practice = models.ForeignKey(Practice, on_delete=models.PROTECT, related_name="staff")
    email = models.EmailField(unique=True)
    name = models.CharField(max_length=120)
    role = models.CharField(max_length=16, choices=[(r.value, r.value) for r in Role])
    ended_at = models.DateTimeField(null=True, default=None)

    USERNAME_FIELD = "email"
    EMAIL_FIELD = "email"
    objects = StaffManager()

    @property
    def is_active(self) -> bool:  # type: ignore[override]
        return self.ended_at is None


class Device(models.Model):
    """A phone or tablet of one member of staff. `last_seq` is the last command taken from it.

    Once it is revoked, `save_unsent` says whether it may still deliver what it has not sent, for
    `DELIVERS_FOR`.

    The phone on which a client signs has a row of its own for the one link that it opened:
    `answers_until` is until when its answer is taken, and None for every phone of the staff. It has
    no token, and nobody is shown it.
    """

    id = models.UUIDField(primary_key=True, default=new_id, editable=False)
    practice = models.ForeignKey(Practice, on_delete=models.PROTECT, related_name="devices")
    staff = models.ForeignKey(Staff, on_delete=models.PROTECT, related_name="devices")
    name = models.CharField(max_length=80)
    token_digest = models.BinaryField(unique=True, max_length=32)
    enrolled_at = models.DateTimeField()
    revoked_at = models.DateTimeField(null=True, default=None)
    save_unsent = models.BooleanField(default=False)
    last_seq = models.BigIntegerField(default=0)
    answers_until = models.DateTimeField(null=True, default=None)

    @property
    def is_of_staff(self) -> bool:
        return self.answers_until is None

    def may_deliver(self, now: datetime) -> bool:
        if self.answers_until is not None:
            return now < self.answers_until
        if self.revoked_at is None:
            return self.staff.is_active
        in_time = now < self.revoked_at + DELIVERS_FOR
        return self.staff.is_active and self.save_unsent and in_time


class RecoveryKey(SealedModel):
    """A practice's RSA pair, to which its phones wrap the key of their records: unsent work can
    then be opened again after its passphrase was forgotten.

    `public` is a SubjectPublicKeyInfo, `private` a PKCS #8 key, both DER; `private` is sealed.
    """

    id = models.UUIDField(primary_key=True, default=new_id, editable=False)
    practice = models.OneToOneField(Practice, on_delete=models.PROTECT, related_name="recovery")
    public = models.BinaryField()
    private = SealedField(bytes)
