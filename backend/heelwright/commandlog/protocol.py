"""Which edition of the sync protocol a phone speaks, and what becomes of an older or newer one.

An older app always delivers its outbox; it fetches again once it is updated. Of a newer app's
request nothing is read: this server does not know what would be lost of it.
"""

from base64 import b64decode
from typing import Annotated, Any

from pydantic import BaseModel, ConfigDict, Field, model_validator
from pydantic.types import Base64Encoder, EncodedBytes
from pydantic_core import PydanticCustomError

from heelwright.declarations import Refused

PROTOCOL = 2
OLDEST_THAT_FETCHES = 2


class AppOutOfDate(Refused):
    """426: what this app would fetch, it could not read."""

    def __init__(self) -> None:
        super().__init__(
            "app_out_of_date",
            "This app is too old to fetch records.",
            "Update the app. What was entered on it is taken all the same.",
            field="protocol",
        )


class ServerOutOfDate(Refused):
    """503: the app is newer than the server; nothing of its request was read."""

    def __init__(self) -> None:
        super().__init__(
            "server_out_of_date",
            "The server is older than this app. Nothing was changed.",
            "Your work is kept on the phone and is sent when the server is updated.",
            field="protocol",
        )


class Spoken(BaseModel):
    """The body of a request, with the protocol it is written in; 1 had no such field."""

    model_config = ConfigDict(extra="forbid")

    protocol: int = Field(default=1, ge=1, le=PROTOCOL, strict=True)

    @model_validator(mode="before")
    @classmethod
    def leave_a_newer_one_alone(cls, body: Any) -> Any:
        """Raises ServerOutOfDate before any other field is looked at: those are not known here."""
        named = body.get("protocol") if isinstance(body, dict) else None
        if isinstance(named, int):
            check_not_newer(named)
        return body


class WholeBase64(Base64Encoder):
    """Refuses what is no base64; the usual decoder reads what it can of it and drops the rest."""

    @classmethod
    def decode(cls, data: bytes) -> bytes:
        try:
            return b64decode(data, validate=True)
        except ValueError:
            raise PydanticCustomError(
                "not_base64",
                "not base64",
                {"text": "This did not arrive whole.", "remedy": "Choose it and send it again."},
            ) from None


# As text on the wire, in base64 (RFC 4648, section 4).
Encoded = Annotated[bytes, EncodedBytes(encoder=WholeBase64)]


def check_not_newer(protocol: int) -> None:
    if protocol > PROTOCOL:
        raise ServerOutOfDate


def check_fetches(protocol: int) -> None:
    """Raise where the app is too old, or too new, to be given records or a rulebook."""
    check_not_newer(protocol)
    if protocol < OLDEST_THAT_FETCHES:
        raise AppOutOfDate
