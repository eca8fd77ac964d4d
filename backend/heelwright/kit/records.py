"""What is written down of machines, lots and the work around the kit."""

from heelwright.commandlog.act import Act, fresh_id
from heelwright.commandlog.registry import command
from heelwright.declarations import Power
from heelwright.kit.arguments import ChangeStock, RecordMachineCheck, SignChecklist
from heelwright.kit.finding import thing_for
from heelwright.kit.models import Checklist, MachineCheck, StockChange
from heelwright.kit.pulled_back import tell_of_check
from heelwright.kit.steps import told
from heelwright.people.books import book_of


@command(Power.REPORT, RecordMachineCheck)
def record_machine_check(act: Act, args: RecordMachineCheck) -> None:
    """One that the book does not know reaches back, as the strictest do."""
    machine = thing_for(act, args.machine, "machine")
    fresh_id(MachineCheck, args.check, "check")
    act.not_ahead(args.tested_at, "tested_at")
    act.not_ahead(args.read_at, "read_at")
    if args.passed:
        act.frees()
    kinds = {each.id: each.reaches_back for each in book_of(act.practice).content.machine_checks}
    check = MachineCheck(
        id=args.check,
        machine=machine,
        kind=args.kind,
        tested_at=act.by_now(args.tested_at),
        read_at=act.by_now(args.read_at),
        passed=args.passed,
        reaches_back=kinds.get(args.kind, True),
        **told(act, args.note),
    )
    act.put(check)
    if not args.passed:
        tell_of_check(act, check)


@command(Power.REPORT, ChangeStock)
def change_stock(act: Act, args: ChangeStock) -> None:
    lot = thing_for(act, args.lot, "lot")
    fresh_id(StockChange, args.change, "change")
    at = act.by_now(args.at)
    StockChange(id=args.change, lot=lot, by=args.by, at=at, **told(act, args.note)).save()
    act.announce(lot)


@command(Power.REPORT, SignChecklist)
def sign_checklist(act: Act, args: SignChecklist) -> None:
    fresh_id(Checklist, args.checklist, "checklist")
    act.not_ahead(args.signed_at, "signed_at")
    signed = Checklist(
        id=args.checklist,
        occasion=args.occasion,
        items=dict(args.items),
        signed_at=act.by_now(args.signed_at),
        rulebook=book_of(act.practice).version,
        **told(act, args.note),
    )
    act.put(signed)
