"""Push and pull over HTTP, and the rulebook that goes with them."""

from typing import Any
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from ninja import Router
from pydantic import BaseModel, ConfigDict, Field

from heelwright import clock
from heelwright.commandlog.receive import receive
from heelwright.commandlog.wire import Envelope, Receipt
from heelwright.declarations import Refused
from heelwright.intake.records import book_of
from heelwright.sync import cursor as cursors
from heelwright.sync.pull import Pulled, pull
from heelwright.tenancy.models import Device
from heelwright.tenancy.signin import DeviceToken

router = Router(auth=DeviceToken(), tags=["sync"])
MOST_COMMANDS = 100


class Push(BaseModel):
    model_config = ConfigDict(extra="forbid")

    device: UUID
    commands: list[Envelope] = Field(max_length=MOST_COMMANDS)


class Pushed(BaseModel):
    """A receipt for each command, in order; `next_seq` is the number the server waits for."""

    device: UUID
    results: list[Receipt]
    next_seq: int


class Pull(BaseModel):
    model_config = ConfigDict(extra="forbid")

    device: UUID
    cursor: str | None = Field(default=None, max_length=400)


@router.post("/push", response=Pushed)
def push_commands(request: HttpRequest, push: Push) -> Pushed:
    """Take a device's commands, in order. Sending them again changes nothing."""
    device = _speaker(request, push.device)
    results = receive(device.pk, push.commands, clock.now())
    device.refresh_from_db(fields=["last_seq"])
    return Pushed(device=device.pk, results=results, next_seq=device.last_seq + 1)


@router.post("/pull", response=Pulled)
def pull_rows(request: HttpRequest, asked: Pull) -> Pulled:
    """The next page of what changed in the device's scope."""
    device = _speaker(request, asked.device)
    return pull(device, cursors.read(asked.cursor) if asked.cursor else None)


@router.get("/rulebook", response=dict[str, Any])
def get_rulebook(request: HttpRequest, response: HttpResponse) -> HttpResponse | dict[str, Any]:
    """The whole rulebook of the practice's place; its version is the ETag."""
    device: Device = request.auth  # type: ignore[attr-defined]  # set by the token check
    book = book_of(device.practice)
    etag = f'"{book.version}"'
    if request.headers.get("If-None-Match") == etag:
        return HttpResponse(status=304)
    response.headers["ETag"] = etag
    return book.as_json()


def _speaker(request: HttpRequest, named: UUID) -> Device:
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
