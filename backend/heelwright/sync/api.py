"""Push and pull over HTTP, and the rulebook that goes with them."""

from datetime import datetime
from typing import Any
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from ninja import Router
from pydantic import BaseModel, Field

from heelwright import clock
from heelwright.commandlog.history import Heard
from heelwright.commandlog.protocol import Spoken, check_fetches
from heelwright.commandlog.receive import receive
from heelwright.commandlog.wire import Envelope, Receipt
from heelwright.people.books import book_of
from heelwright.sync import cursor as cursors
from heelwright.sync.pull import Pulled, pull
from heelwright.tenancy.models import Device
from heelwright.tenancy.signin import DeliveryToken, DeviceToken, speaker

router = Router(auth=DeviceToken(), tags=["sync"])
MOST_COMMANDS = 100


class Push(Spoken):
    device: UUID
    commands: list[Envelope] = Field(max_length=MOST_COMMANDS)
    heard: Heard | None = None


class Pushed(BaseModel):
    """A receipt for each command, in order; `next_seq` is the number the server waits for, `now`
    its time. `heard` is for the next request; `lost` says that what the device has heard of is of a
    history that was lost, and that nothing of this delivery was taken."""

    device: UUID
    results: list[Receipt]
    next_seq: int
    now: datetime
    heard: str
    lost: bool


class Pull(Spoken):
    device: UUID
    cursor: str | None = Field(default=None, max_length=400)
    heard: Heard | None = None


@router.post("/push", auth=DeliveryToken(), response=Pushed)
def push_commands(request: HttpRequest, push: Push) -> Pushed:
    """Take a device's commands, in order. Sending them again changes nothing."""
    device = speaker(request, push.device)
    now = clock.now()
    taken = receive(device.pk, push.commands, now, push.heard)
    return Pushed(
        device=device.pk,
        results=taken.receipts,
        next_seq=taken.next_seq,
        now=now,
        heard=taken.heard,
        lost=taken.lost,
    )


@router.post("/pull", response=Pulled)
def pull_rows(request: HttpRequest, asked: Pull) -> Pulled:
    """The next page of what changed in the device's scope."""
    device = speaker(request, asked.device)
    check_fetches(asked.protocol)
    return pull(device, cursors.read(asked.cursor), clock.now(), asked.heard)


@router.get("/rulebook", response=dict[str, Any])
def get_rulebook(
    request: HttpRequest, response: HttpResponse, protocol: int = 1
) -> HttpResponse | dict[str, Any]:
    """The whole rulebook of the practice's place; its version is the ETag."""
    check_fetches(protocol)
    device: Device = request.auth  # type: ignore[attr-defined]  # set by the token check
    book = book_of(device.practice)
    etag = f'"{book.version}"'
    if request.headers.get("If-None-Match") == etag:
        return HttpResponse(status=304)
    response.headers["ETag"] = etag
    return book.as_json()
