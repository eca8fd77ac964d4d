"""One address for every paper that the areas declare, and one for every log."""

from typing import Literal
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from ninja import Query, Router
from pydantic import BaseModel, Field

from heelwright import vault
from heelwright.commandlog import registry
from heelwright.declarations import Refused
from heelwright.documents.days import days
from heelwright.documents.printing import pdf
from heelwright.documents.table import table
from heelwright.tenancy.models import Device
from heelwright.tenancy.signin import DeviceToken

router = Router(auth=DeviceToken(), tags=["documents"])


@router.get("/{name}/{row_id}")
def get_document(request: HttpRequest, name: str, row_id: UUID) -> HttpResponse:
    """A paper as PDF/A, made afresh from the record; nothing of it stays on the server."""
    device: Device = request.auth  # type: ignore[attr-defined]  # set by the token check
    document = registry.documents().get(name)
    if document is None:
        raise Refused("not_found", "There is no such paper.", "Check the address.", "name")
    with vault.unit():
        data = document.fetch(device, row_id)
    return _shown(pdf(document, data), document.name, "pdf")


class Asked(BaseModel):
    """The days as they were written: `days` says what is wrong with them."""

    first: str = Field("", alias="from")
    last: str = Field("", alias="to")
    form: Literal["pdf", "csv"] = "pdf"


@router.get("/{name}")
def get_log(request: HttpRequest, name: str, asked: Query[Asked]) -> HttpResponse:
    """A log over days, both included, as PDF/A or as a table; nothing of it stays on the server."""
    device: Device = request.auth  # type: ignore[attr-defined]  # set by the token check
    log = registry.logs().get(name)
    if log is None:
        raise Refused("not_found", "There is no such log.", "Check the address.", "name")
    span = days(asked.first, asked.last)
    with vault.unit():
        data = log.fetch(device, span)
    content = table(data) if asked.form == "csv" else pdf(log, data)
    return _shown(content, f"{log.name}_{span.first}_{span.last}", asked.form)


TYPES = {"pdf": "application/pdf", "csv": "text/csv; charset=utf-8; header=present"}


def _shown(content: bytes, name: str, form: str) -> HttpResponse:
    answer = HttpResponse(content, content_type=TYPES[form])
    answer.headers["Cache-Control"] = "no-store"
    answer.headers["Content-Disposition"] = f'inline; filename="{name}.{form}"'
    return answer
