"""The shapes of what is told of a calendar link."""

from uuid import UUID

from heelwright.commandlog.wire import Args
from heelwright.intake.signed import Sha256


class ShareCalendar(Args):
    """A link for the calendar app of whoever sends this. `secret_sha256` is the SHA-256, in hex, of
    the 43 letters that the link holds."""

    link: UUID
    secret_sha256: Sha256


class EndCalendar(Args):
    link: UUID
