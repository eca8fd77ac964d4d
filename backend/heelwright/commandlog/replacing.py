"""Entries that correct others are kept beside them. None may come to replace itself:
nothing of such a ring would stand, and what was told would be gone from every sum."""

from uuid import UUID

from django.db.models import Model

from heelwright.commandlog.act import Act
from heelwright.declarations import Refused


def no_ring(act: Act, model: type[Model], own: UUID, replaces: list[UUID]) -> None:
    """Raise Refused where one of those that an entry replaces replaces it, by whatever way: only a
    device that names an entry before it is made can tell so."""
    seen, left = set[str](), {str(one) for one in replaces}
    known = model._default_manager.filter(practice=act.practice)
    while left:
        if str(own) in left:
            raise Refused(
                "replaces_itself",
                "This entry would replace itself by way of another one.",
                "Enter the correction again.",
                field="replaces",
            )
        seen |= left
        found = known.filter(pk__in=left).values_list("replaces", flat=True)
        left = {one for earlier in found for one in earlier} - seen
