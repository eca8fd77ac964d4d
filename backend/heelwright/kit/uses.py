"""What was used on a client, and what speaks against it."""

from uuid import UUID

from heelwright.commandlog.act import Act, fresh_id
from heelwright.declarations import Refused
from heelwright.intake.records import by
from heelwright.kit.arguments import KitUsed, UsedItems, UsedProduct, UsedSet
from heelwright.kit.facts import facts_of, line_of, uses_since, whole_line_of
from heelwright.kit.finding import known_solution, known_thing
from heelwright.kit.models import Load, Step, Thing, Use
from heelwright.kit.rules.standing import against, apart_from, cycles_before, packs_before
from heelwright.kit.steps import add_step
from heelwright.people.models import Client


def why_not(act: Act, thing: Thing, used: UsedSet) -> tuple[str, ...]:
    """What speaks against the use of a set, as things stand; nothing where it may be used."""
    stands = facts_of([thing])[thing.pk].standing(act.by_now(used.at))
    return against(stands, [str(one) for one in used.after], str(act.staff.pk))


def keep_used(act: Act, client: Client, visit: UUID, kit: KitUsed) -> bool:
    """Keep what a visit's report says was used; returns whether any of the sets should not have
    been. What was given by permission is on record already."""
    sets = [_known(client, visit, one) or use_set(act, client, visit, one) for one in kit.sets]
    for item in kit.items:
        if _known(client, visit, item) is None:
            act.put(_use(act, client, visit, item, item.count))
            _announce_lot(act, item)
    for product in kit.products:
        if _known(client, visit, product) is None:
            use = _use(act, client, visit, product)
            use.solution = known_solution(act, product.solution)
            act.put(use)
    return any(use.flags for use in sets)


def use_set(act: Act, client: Client, visit: UUID, used: UsedSet) -> Use:
    """Keep a use of a set whatever speaks against it, and flag it then, with every other use that
    had no cycle between, or of which nobody can say whether it was before or after."""
    fresh_id(Step, used.use, "use")
    use = _use(act, client, visit, used)
    thing = known_thing(act, used.set, "set")
    if thing is None:
        use.flags = ["set_unknown"]
        act.put(use)
        return _told(act, use, use.flags)
    flags = list(why_not(act, thing, used))
    step = Step(id=used.use, thing=thing, what="use", at=use.used_at)
    use.step = add_step(act, step, used.after)
    line = line_of(use.step)
    judged = line[str(step.pk)]
    doubtful = uses_since(thing.pk, packs_before(judged, line))
    if "changed_since" in flags:
        doubtful += [UUID(one) for one in apart_from(judged, whole_line_of(thing.pk))]
    shared = _others(use, doubtful)
    use.flags = [*flags, "used_twice"] if shared else flags
    use.save()
    use.loads.set(Load.objects.filter(pk__in=cycles_before(judged, line)))
    act.announce(use)
    for other in shared:
        if "used_twice" not in other.flags:
            other.flags = [*other.flags, "used_twice"]
            act.put(other)
            _told(act, other, ["used_twice"])
    return _told(act, use, use.flags)


def _others(use: Use, steps: list[UUID]) -> list[Use]:
    """The uses by these steps in other visits."""
    others = Use.objects.filter(step__in=steps).exclude(pk=use.pk).order_by("pk")
    return list(others.exclude(client=use.client_id, visit_ref=use.visit_ref))


def _told(act: Act, use: Use, reasons: list[str]) -> Use:
    if reasons:
        act.raise_incident("set_used_unready", use, reasons, use.client_id)
    return use


def _use(
    act: Act,
    client: Client,
    visit: UUID,
    used: UsedSet | UsedItems | UsedProduct,
    count: int = 1,
) -> Use:
    act.not_ahead(used.at, "at")
    return Use(
        id=used.use,
        visit_ref=visit,
        thing=_thing_of(used),
        count=count,
        used_at=act.by_now(used.at),
        **by(act, client),
    )


def _known(client: Client, visit: UUID, used: UsedSet | UsedItems | UsedProduct) -> Use | None:
    """The use as it is on record; raises Refused where its id is that of another one."""
    use = Use.objects.filter(pk=used.use).first()
    told = (client.pk, visit, _thing_of(used))
    if use is not None and (use.client_id, use.visit_ref, use.thing) != told:
        raise Refused(
            "id_taken",
            "This record is on the server already.",
            "Nothing needs doing if it is the same record; otherwise enter it again.",
            field="kit",
        )
    return use


def _thing_of(used: UsedSet | UsedItems | UsedProduct) -> UUID:
    if isinstance(used, UsedSet):
        return used.set
    return used.lot if isinstance(used, UsedItems) else used.product


def _announce_lot(act: Act, item: UsedItems) -> None:
    lot = known_thing(act, item.lot, "lot")
    if lot is not None:
        act.announce(lot)
