"""One address for every paper that the areas declare."""

from uuid import UUID

from django.http import HttpRequest, HttpResponse
from ninja import Router

from heelwright import vault
from heelwright.commandlog import registry
from heelwright.declarations import Refused
from heelwright.documents.printing import pdf
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
    answer = HttpResponse(pdf(document, data), content_type="application/pdf")
    answer.headers["Cache-Control"] = "no-store"
    answer.headers["Content-Disposition"] = f'inline; filename="{document.name}.pdf"'
    return answer
