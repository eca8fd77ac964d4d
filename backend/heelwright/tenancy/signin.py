"""Who may sign in, and how a device proves itself afterwards.

People sign in by password (django-allauth); a device then gets a token of its own. The server keeps
only the token's SHA-256, which suffices because the token is 32 random bytes.
"""

import hashlib
import secrets
from typing import Any
from uuid import UUID

from allauth.account.adapter import DefaultAccountAdapter
from allauth.core import ratelimit
from allauth.core.internal.ratelimit import consume
from django.http import HttpRequest
from ninja.security import HttpBearer
from ninja.throttling import BaseThrottle

from heelwright import clock
from heelwright.declarations import Refused
from heelwright.tenancy.models import Device, Staff


class StaffOnly(DefaultAccountAdapter):  # type: ignore[misc]  # allauth is untyped
    """Nobody signs up by themselves: a practice adds its own staff."""

    def is_open_for_signup(self, request: HttpRequest) -> bool:
        return False


def new_token() -> tuple[str, bytes]:
    """A device token and the digest to keep of it."""
    token = secrets.token_urlsafe(32)
    return token, digest(token)


def digest(token: str) -> bytes:
    return hashlib.sha256(token.encode()).digest()


class DeviceToken(HttpBearer):
    """Lets a device in by its token; `request.auth` is then the Device with staff and practice."""

    def authenticate(self, request: HttpRequest, token: str) -> Device:
        found = (
            Device.objects.select_related("staff", "practice")
            .filter(token_digest=digest(token))
            .first()
        )
        if found is None:
            raise NotSignedIn
        if not self.lets_in(found):
            raise DeviceRevoked
        return found

    def lets_in(self, device: Device) -> bool:
        return device.staff.is_active and device.revoked_at is None


class DeliveryToken(DeviceToken):
    """For deliveries alone: lets in a device that was revoked in the meantime as well, where the
    practice wants the work that it still has, for some days."""

    def lets_in(self, device: Device) -> bool:
        return device.may_deliver(clock.now())


def speaker(request: HttpRequest, named: UUID) -> Device:
    """The device whose token came along; it must be the one that the body names."""
    device: Device = request.auth  # type: ignore[attr-defined]  # set by the token check
    if device.pk != named:
        raise Refused(
            "wrong_device",
            "The token belongs to another device.",
            "Sign in again on this device.",
            field="device",
        )
    return device


def count_try(request: HttpRequest, action: str, staff: Staff) -> None:
    """Raise TooManyTries where a person has done this too often, by ACCOUNT_RATE_LIMITS."""
    if not ratelimit.consume(request, action=action, user=staff):
        raise TooManyTries


class PerAddress(BaseThrottle):
    """How often an address may ask, by ACCOUNT_RATE_LIMITS: counted before anything is read.

    The library's public function lets every GET pass uncounted.
    """

    def __init__(self, action: str) -> None:
        self.action = action

    def allow_request(self, request: HttpRequest) -> bool:
        usage = consume(request, app="allauth.account", action=self.action, limit_get=True)
        return usage is not None

    def wait(self) -> float:
        return 60.0


class TooManyTries(Refused):
    """429: as the sign-in says it."""

    def __init__(self, remedy: str = "Wait an hour, then try again.") -> None:
        super().__init__("too_many", "Too many tries.", remedy)


class NotSignedIn(Refused):
    """401: the token or the session is not known."""

    def __init__(self, *_: Any) -> None:
        super().__init__(
            "not_signed_in", "You are not signed in.", "Sign in again; your work stays here."
        )


class DeviceRevoked(Refused):
    """403: this device was switched off by the practice, or its person has left."""

    def __init__(self, *_: Any) -> None:
        super().__init__(
            "device_revoked",
            "This device was switched off by your practice.",
            "Ask the person who runs your practice.",
        )
