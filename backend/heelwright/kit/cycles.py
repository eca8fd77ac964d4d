"""Cycles, of a machine or in a disinfectant, and the solutions that are mixed for them."""

from collections.abc import Iterator
from dataclasses import asdict, replace
from datetime import date, datetime, timedelta

from heelwright.commandlog.act import Act, fresh_id
from heelwright.commandlog.device_clock import SLACK
from heelwright.commandlog.registry import command
from heelwright.declarations import Power
from heelwright.intake.records import local_day
from heelwright.kit.arguments import EndLoad, MixSolution, StartLoad, ThrowAwaySolution
from heelwright.kit.facts import as_end, as_load
from heelwright.kit.finding import known_solution, known_thing, load_for, solution_for, thing_for
from heelwright.kit.models import Load, LoadEnd, Solution, Step, Thing
from heelwright.kit.pulled_back import outcome_of, tell_of_load
from heelwright.kit.rules.asked import asked_of_machine, asked_of_product
from heelwright.kit.rules.loads import Asked, outcome, ran_minutes, stricter, told_late
from heelwright.kit.steps import add_step, told
from heelwright.people.books import book_of
from heelwright.rulebook import Book
from heelwright.rulebook.kit_entries import Process


@command(Power.REPORT, MixSolution)
def mix_solution(act: Act, args: MixSolution) -> None:
    product = thing_for(act, args.product, "product")
    fresh_id(Solution, args.solution, "solution")
    act.not_ahead(args.mixed_at, "mixed_at")
    mixed_at = act.by_now(args.mixed_at)
    solution = Solution(
        id=args.solution,
        product=product,
        stock_percent=args.stock_percent,
        target_ppm=args.target_ppm,
        volume_ml=args.volume_ml,
        mixed_at=mixed_at,
        keeps_until=min(args.keeps_until, mixed_at + _keeps(act, product)),
        **told(act, args.note),
    )
    act.put(solution)


def _keeps(act: Act, product: Thing) -> timedelta:
    """As the label says; without it as the book says of every mix."""
    hours = product.card["mixed_keeps_hours"]
    return timedelta(hours=hours or book_of(act.practice).content.settings.solution_hours_max)


@command(Power.REPORT, ThrowAwaySolution)
def throw_away_solution(act: Act, args: ThrowAwaySolution) -> None:
    """Two may say so; the earlier one counts."""
    solution = solution_for(act, args.solution)
    at = act.by_now(args.at)
    solution.thrown_away_at = min(at, solution.thrown_away_at or at)
    act.put(solution)


@command(Power.REPORT, StartLoad)
def start_load(act: Act, args: StartLoad) -> None:
    """Kept whatever it says; what speaks against it then lies in its `faults`. A set that the
    server does not have is left out, and the owner told."""
    fresh_id(Load, args.load, "load")
    for place, one in enumerate(args.sets):
        fresh_id(Step, one.step, f"sets.{place}.step")
    act.not_ahead(args.started_at, "started_at")
    load = Load(
        id=args.load,
        process=args.process or "",
        machine=known_thing(act, args.machine, "machine"),
        product=known_thing(act, args.product, "product"),
        solution=known_solution(act, args.solution),
        started_at=act.by_now(args.started_at),
        told_at=act.by_now(act.made_at),
        phone_at=args.started_at,
        device=act.device,
        rulebook=book_of(act.practice).version,
        **told(act, args.note),
    )
    asked = asked_of(book_of(act.practice), load)
    if asked is not None and args.shown is not None:
        # A card may have changed on its way here: nothing ends sooner than the phone said.
        asked = stricter(asked, Asked(**args.shown.model_dump()))
    load.asked = asked and asdict(asked)
    load.faults = list(_faults(load, args, local_day(act.practice, load.started_at)))
    act.put(load)
    at = load.started_at
    known = {one.step: known_thing(act, one.set, "set") for one in args.sets}
    for one in args.sets:
        thing = known[one.step]
        if thing is not None:
            add_step(act, Step(id=one.step, thing=thing, what="cycle", at=at, load=load), one.after)
    if None in known.values():
        act.raise_incident("set_unknown", load, [])


def asked_of(book: Book, load: Load) -> Asked | None:
    """None where neither its process nor its product is known."""
    settings = book.content.settings
    process = _process(book, load.process)
    if process is not None:
        maker = load.machine.card["maker_minutes"] if load.machine else {}
        return asked_of_machine(settings, process, maker)
    if load.product is None or load.process:
        return None
    return asked_of_product(settings, load.product.card["contact_minutes"])


def _process(book: Book, id_: str) -> Process | None:
    return next((each for each in book.content.processes if each.id == id_), None)


def _faults(load: Load, args: StartLoad, day: date) -> Iterator[str]:
    """What spoke against a cycle when it began."""
    if args.process is not None:
        yield from _faults_of_machine(load)
    product, solution = load.product, load.solution
    if product is not None:
        expires = product.card["expires_on"]
        if expires is not None and date.fromisoformat(expires) < day:
            yield "product_out_of_date"
        if product.card["used_for"] == "surfaces":
            yield "product_for_surfaces"
        if product.card["use_ppm"] is not None and solution is None:
            yield "solution_unknown"
        if solution is not None:
            yield from _faults_of_solution(load, product, solution)


def _faults_of_machine(load: Load) -> Iterator[str]:
    process = _process(book_of(load.practice), load.process)
    if load.machine is None:
        yield "machine_unknown"
    elif process is not None and load.machine.card["machine"] != process.machine:
        yield "wrong_machine"


def _faults_of_solution(load: Load, product: Thing, solution: Solution) -> Iterator[str]:
    at = load.started_at
    if solution.product_id != product.pk:
        yield "solution_unknown"
    # It may have been mixed by another phone, whose clock differs. A start that is told afterwards
    # gets nothing for that: a phone takes none before the mix.
    slack = timedelta() if told_late(at, load.told_at) else SLACK
    if at < solution.mixed_at - slack:
        yield "solution_mixed_later"
    thrown_away = solution.thrown_away_at
    if at > solution.keeps_until or (thrown_away is not None and at > thrown_away):
        yield "solution_out_of_date"
    if solution.target_ppm < (product.card["use_ppm"] or 0):
        yield "solution_too_weak"


def _ran(act: Act, load: Load, ended_at: datetime) -> float:
    """By what is on record, and where one phone told both ends by its own clock too: of one that is
    ahead both count from their receipt, and the end may be sent long after. What a clock that has
    lost its time tells counts from its receipt alone."""
    if act.clock_lost:
        return 0
    if load.device_id not in act.own_devices:
        return ran_minutes(load.started_at, act.by_now(ended_at), load.received_at)
    return min(
        ran_minutes(load.started_at, act.by_now(ended_at), None),
        ran_minutes(load.phone_at or load.started_at, ended_at, None),
    )


@command(Power.REPORT, EndLoad)
def end_load(act: Act, args: EndLoad) -> None:
    load = load_for(act, args.load)
    fresh_id(LoadEnd, args.end, "end")
    act.not_ahead(args.ended_at, "ended_at")
    end = LoadEnd(
        id=args.end,
        load=load,
        ended_at=act.by_now(args.ended_at),
        ran_minutes=_ran(act, load, args.ended_at),
        held_minutes=args.held_minutes,
        celsius=args.celsius,
        indicator=args.indicator,
        interrupted=args.interrupted,
        **told(act, args.note),
    )
    if outcome(replace(as_load(load, {}), ends=(as_end(end),))).state == "complete":
        act.frees()
    before = outcome_of(load)
    end.save()
    act.announce(load)
    tell_of_load(act, load, before)
