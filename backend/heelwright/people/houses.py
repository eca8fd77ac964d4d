"""What may change facilities. Who has one is next door, in `team.py`."""

from heelwright.commandlog.act import Act
from heelwright.commandlog.registry import command
from heelwright.declarations import About, Power
from heelwright.people.access import facility_for, fresh_scope
from heelwright.people.arguments import AmendFacility, RegisterFacility
from heelwright.people.cards import by_others, no_clash, nothing_emptied, versions_now
from heelwright.people.models import Facility


@command(Power.PERMISSION, RegisterFacility)
def register_facility(act: Act, args: RegisterFacility) -> None:
    fresh_scope(args.facility, "facility")
    card = args.model_dump(exclude={"facility"})
    act.put(Facility(id=args.facility, practice=act.practice, **card))


@command(Power.PERMISSION, AmendFacility)
def amend_facility(act: Act, args: AmendFacility) -> None:
    house = facility_for(act, args.facility)
    changes = args.changes.model_dump(include=args.changes.model_fields_set)
    nothing_emptied(changes, may_be_none=("position",))
    newest = by_others(act, house.field_versions.items())
    now = {field: getattr(house, field) for field in changes}
    no_clash(args.seen, newest, now, changes, About("facility", house.pk))
    for field, value in changes.items():
        setattr(house, field, value)
    house.field_versions = versions_now(act, house.field_versions, changes)
    act.put(house)
