"""What went on with the kit of the invented practice since it was registered, four weeks ago."""

from collections import Counter
from collections.abc import Mapping
from datetime import date, datetime, time, timedelta
from itertools import groupby
from typing import Any
from uuid import UUID

from heelwright.settings.demonstration.course import World
from heelwright.settings.demonstration.cupboard import GOOD, PACKED, Cupboard
from heelwright.settings.demonstration.log import Sent
from heelwright.settings.demonstration.scenario_kit import InstrumentSet

SINCE_DAYS = 28
MORNING, LEFT, EVENING, LATE = time(7, 30), time(8, 10), time(17, 50), time(19, 30)
MINUTE = timedelta(minutes=1)


def work_with_kit(world: World) -> None:
    """After `live`: it adds to the reports of visits what of the kit was used in them."""
    cupboard = Cupboard(world)
    _register(cupboard)
    _make_ready(cupboard)
    since = cupboard.at(SINCE_DAYS - 1, time())
    reports = [it for it in world.log.sent if it.name == "complete_visit" and it.at > since]
    reports.sort(key=lambda report: report.at)
    for day, of_day in groupby(reports, key=lambda report: report.at.date()):
        _work(cupboard, day, list(of_day))
    _check_machines(cupboard)
    for one in world.scenario.kit.sets:
        _end_yesterday(cupboard, one)
    _count_and_mix(cupboard)


def _register(cupboard: Cupboard) -> None:
    kit, at = cupboard.world.scenario.kit, cupboard.at(SINCE_DAYS, MORNING)
    for one in kit.sets:
        held = {"name": one.name, "instruments": kit.holds[one.holds]}
        cupboard.register(at, one.label, {"kind": "set", **held})
    for machine in kit.machines:
        card = machine.model_dump(exclude={"label", "serviced", "done"})
        days = machine.serviced
        card["serviced_on"] = None if days is None else cupboard.day(-days)
        cupboard.register(at, machine.label, {"kind": "machine", **card})
    for kind, things in (("product", kit.products), ("lot", kit.lots)):
        for thing in things:
            card = thing.model_dump(exclude={"label", "expires_in", "counted"})
            card["expires_on"] = (
                None if thing.expires_in is None else cupboard.day(thing.expires_in)
            )
            cupboard.register(at, thing.label, {"kind": kind, **card})


def _by_steam(cupboard: Cupboard, process: str = "uk_vacuum_wrapped_134") -> Mapping[str, Any]:
    steriliser = cupboard.world.scenario.kit.machines[0]
    return {"process": process, "machine": cupboard.ids[steriliser.label]}


def _by_wiping(cupboard: Cupboard) -> Mapping[str, Any]:
    return {"product": cupboard.ids[cupboard.world.scenario.kit.visit_wipes_with]}


def _make_ready(cupboard: Cupboard) -> None:
    """All of them once, before the first visit with a label."""
    sets, at = cupboard.world.scenario.kit.sets, cupboard.at(SINCE_DAYS, MORNING) + 10 * MINUTE
    ways = {
        "wrapped": _by_steam(cupboard),
        "unwrapped": _by_steam(cupboard, "vacuum_unwrapped_132"),
        "wiped": _by_wiping(cupboard),
    }
    for way, how in ways.items():
        labels = [one.label for one in sets if one.made_ready == way]
        cupboard.through(cupboard.owner, labels, at, how)
        at += PACKED
    cupboard.clean.extend(one.label for one in sets if one.worked_with)


def _work(cupboard: Cupboard, day: date, visits: list[Sent]) -> None:
    """Each visit of a day takes the set that was packed first. In the evening whoever had the last
    one puts all that were used through a cycle."""
    used = [_use(cupboard, visit) for visit in visits if cupboard.clean]
    evening = cupboard.world.diary.at(day, EVENING)
    cupboard.through(visits[-1].staff, used, evening, _by_steam(cupboard))
    cupboard.clean.extend(used)
    for who in sorted({visit.staff for visit in visits}):
        _sign(cupboard, who, "before_leaving", cupboard.world.diary.at(day, LEFT))
        _sign(cupboard, who, "end_of_day", evening + PACKED)


def _use(cupboard: Cupboard, visit: Sent) -> str:
    """Takes a set as the visit starts; it lies in the dirty box before the next client."""
    kit, who, args = cupboard.world.scenario.kit, visit.staff, visit.args
    label, begun, over = cupboard.clean.popleft(), args["started_at"] + MINUTE, args["ended_at"]
    use, after = cupboard.step(label, begun)
    given = {"use": use, "set": cupboard.ids[label], "after": after, "at": begun}
    cupboard.say(who, begun, "give_set", **given, visit=args["visit"], client=args["client"])
    items = [
        {"use": cupboard.new_id(over), "lot": cupboard.ids[lot], "count": count, "at": over}
        for lot, count in kit.visit_takes.items()
    ]
    wiped = {"use": cupboard.new_id(over), "at": over, **_by_wiping(cupboard)}
    args["kit"] = {"sets": [given], "items": items, "products": [wiped]}
    cupboard.move(who, label, "soil", visit.at + MINUTE)
    return label


def _sign(cupboard: Cupboard, who: str, occasion: str, at: datetime) -> None:
    world = cupboard.world
    lines = [it.id for it in world.book.content.checklist_items if it.occasion == occasion]
    skipped = world.scenario.kit.not_needed
    items = {line: "not_needed" if line in skipped else "done" for line in lines}
    signed = {"checklist": cupboard.new_id(at), "occasion": occasion, "items": items}
    cupboard.say(who, at, "sign_checklist", **signed, signed_at=at)


def _check_machines(cupboard: Cupboard) -> None:
    """By the owner. A spore test is read the day after, with the list of the week."""
    owner = cupboard.owner
    for machine in cupboard.world.scenario.kit.machines:
        told = {"machine": cupboard.ids[machine.label], "passed": True}
        for kind, days_ago in ((kind, at) for kind, done in machine.done.items() for at in done):
            tested = cupboard.at(days_ago, EVENING)
            read = tested + timedelta(days=kind == "spore_test")
            named = {"check": cupboard.new_id(read), "kind": kind, **told}
            times = {"tested_at": tested, "read_at": read}
            cupboard.say(owner, read, "record_machine_check", **named, **times)
            if kind == "spore_test":
                _sign(cupboard, owner, "weekly", read)


def _end_yesterday(cupboard: Cupboard, one: InstrumentSet) -> None:
    if one.last is None:
        return
    (who, *others), what, note = one.last.by, one.last.what, one.last.note
    label, at, known = one.label, cupboard.at(1, LATE), cupboard.heads[one.label]
    if what == "wiped_again":
        cupboard.through(who, [label], at, _by_wiping(cupboard))
        return
    if what in ("take_out", "soil"):
        cupboard.move(who, label, what, at, note=note)
    else:
        cupboard.move(who, label, "soil", at, note=note)
        shown = {"interrupted": True} if what == "interrupted" else GOOD
        cupboard.cycle(who, [label], at + MINUTE, _by_steam(cupboard), shown)
    for other in others:
        cupboard.heads[label] = known
        cupboard.move(other, label, what, at + 10 * MINUTE)


def _count_and_mix(cupboard: Cupboard) -> None:
    """What the owner counted yesterday evening, and the mix that she made then."""
    kit, at, who = cupboard.world.scenario.kit, cupboard.at(1, LATE), cupboard.owner
    used = Counter[UUID]()
    for sent in cupboard.world.log.sent:
        for item in sent.args.get("kit", {}).get("items", ()):
            used[item["lot"]] += item["count"]
    for lot in kit.lots:
        if lot.counted is not None:
            thing = cupboard.ids[lot.label]
            told = {"change": cupboard.new_id(at), "lot": thing, "note": "Counted anew."}
            by = lot.counted - (lot.count - used[thing])
            cupboard.say(who, at, "change_stock", **told, by=by, at=at)
    of = next(each for each in kit.products if each.label == kit.mixed.product)
    cupboard.say(
        who,
        at,
        "mix_solution",
        solution=cupboard.new_id(at),
        product=cupboard.ids[of.label],
        stock_percent=of.stock_percent,
        target_ppm=of.use_ppm,
        volume_ml=kit.mixed.volume_ml,
        mixed_at=at,
        keeps_until=at + timedelta(hours=of.mixed_keeps_hours or 0),
    )
