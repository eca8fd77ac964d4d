"""What the kit is made of: registering a thing, and correcting its card."""

from heelwright.commandlog.act import Act, fresh_id
from heelwright.commandlog.registry import command
from heelwright.commandlog.seen import still_as_seen
from heelwright.declarations import About, Power, Refused
from heelwright.kit.arguments import AmendThing, Card, RegisterThing
from heelwright.kit.labels import BadLabel, read_label
from heelwright.kit.models import Thing


@command(Power.PERMISSION, RegisterThing)
def register_thing(act: Act, args: RegisterThing) -> None:
    fresh_id(Thing, args.thing, "thing")
    label = _label(args.label)
    other = Thing.objects.filter(practice=act.practice, label=label).first()
    if other is not None:
        raise Refused(
            "label_taken",
            "Something else of the kit has this label.",
            "Look at what has it. Stick a fresh label on this one.",
            field="label",
            about=About("kit_thing", other.pk),
        )
    thing = Thing(id=args.thing, practice=act.practice, kind=args.card.kind, label=label)
    thing.card = _kept(args.card)
    act.put(thing)


@command(Power.PERMISSION, AmendThing)
def amend_thing(act: Act, args: AmendThing) -> None:
    thing = Thing.objects.filter(practice=act.practice, pk=args.thing).first()
    if thing is None:
        raise Refused(
            "not_found", "This was not found among the kit.", "Sync, look again.", "thing"
        )
    if args.card.kind != thing.kind:
        raise Refused(
            "another_kind",
            "A thing can't become one of another kind.",
            "Register it anew, and take this one out of use.",
            field="card.kind",
        )
    still_as_seen(act, thing, args.seen, "card", "thing")
    thing.card = _kept(args.card)
    act.put(thing)


def _label(typed: str) -> str:
    try:
        return read_label(typed)
    except BadLabel as fault:
        raise Refused(
            "label_wrong",
            str(fault),
            "Scan it again, or type what stands below the square.",
            field="label",
        ) from None


def _kept(card: Card) -> dict[str, object]:
    return card.model_dump(mode="json")
