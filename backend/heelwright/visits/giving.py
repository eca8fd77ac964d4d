"""Giving a set to a client, which is refused unless it is clean and nobody else has told of it."""

from heelwright.commandlog.act import Act, fresh_id
from heelwright.commandlog.registry import command
from heelwright.declarations import About, Power, Refused
from heelwright.kit.arguments import GiveSet
from heelwright.kit.finding import thing_for
from heelwright.kit.models import Use
from heelwright.kit.uses import use_set, why_not
from heelwright.people.access import client_for
from heelwright.visits.models import Visit

WHY_NOT = {
    "changed_since": "Somebody else has told of this set since.",
    "in_anothers_box": "This set is in somebody else's box.",
    "told_apart": "Two people told of this set apart, and it is not clear where it has been.",
    "out_of_date": "This set was clean, and its time is over.",
    "pulled_back": "The cycle of this set is pulled back: a check of the machine failed.",
    "cycle_not_done": "The cycle of this set is not done.",
}
OTHERWISE = "This set has not been through a whole cycle since it was used last."


@command(Power.PERMISSION, GiveSet)
def give_set(act: Act, args: GiveSet) -> None:
    client = client_for(act, args.client)
    thing = thing_for(act, args.set, "set")
    fresh_id(Use, args.use, "use")
    act.not_ahead(args.at, "at")
    begun = Visit.objects.filter(client=client, pk=args.visit, staff=act.staff, state="started")
    if not begun.exists():
        raise Refused(
            "visit_not_begun",
            "This visit has not been started, or it is over.",
            "Start the visit first, then take the set.",
            field="visit",
        )
    reasons = why_not(act, thing, args)
    if reasons:
        raise Refused(
            reasons[0],
            WHY_NOT.get(reasons[0], OTHERWISE),
            "Take another set. Put this one through its whole cycle before it is used.",
            field="set",
            about=About("kit_thing", thing.pk),
        )
    use_set(act, client, args.visit, args)
