"""Finding what a command names."""

from uuid import UUID

from heelwright.commandlog.act import Act
from heelwright.declarations import Refused
from heelwright.takings.models import PriceItem


def item_for(act: Act, item_id: UUID) -> PriceItem:
    item = PriceItem.objects.filter(practice=act.practice, pk=item_id).first()
    if item is None:
        raise Refused(
            "not_found", "This is not on the price list.", "Sync, choose again.", field="item"
        )
    return item
