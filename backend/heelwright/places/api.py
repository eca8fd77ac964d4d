"""Asking where a post code is. It is in no address and no log, since it tells where somebody
lives."""

import logging
from uuid import UUID

from django.http import HttpRequest
from ninja import Router
from pydantic import BaseModel, Field

from heelwright.commandlog.protocol import Spoken
from heelwright.declarations import Refused
from heelwright.places.position import Position
from heelwright.places.post_codes import BadTable, find
from heelwright.tenancy.signin import DeviceToken, speaker

logger = logging.getLogger(__name__)
router = Router(auth=DeviceToken(), tags=["places"])


class PostCode(Spoken):
    device: UUID
    post_code: str = Field(min_length=1, max_length=20)


class PostCodeFound(BaseModel):
    """None where this server does not know it."""

    position: Position | None


@router.post("/places/post_code", response=PostCodeFound)
def find_post_code(request: HttpRequest, asked: PostCode) -> PostCodeFound:
    """Where a post code is, by a table of this server."""
    device = speaker(request, asked.device)
    try:
        return PostCodeFound(position=find(device.practice.place, asked.post_code))
    except BadTable as fault:
        logger.error("post codes: %s in line %s", fault.code, fault.line_count)  # noqa: TRY400
        raise Refused(
            "post_codes_unreadable",
            "The server can't read its table of post codes.",
            "Tell whoever runs the server. Until then, say the place in another way.",
            field="post_code",
        ) from None
