"""House rules of the Python sources, as functions from a parsed module to what breaks them.

They look at the text only, so they catch slips and not cunning. What they can't see (a manager
handed around under another name) is for review.
"""

import ast
from collections.abc import Callable, Iterator
from pathlib import Path

from tests.house.faults import Fault

# These areas are the write path itself, or rows that exist before anyone can send a command.
BELOW_THE_COMMANDS = {"commandlog", "evidence", "tenancy", "vault"}

# The writes that no command can make: a practice before it has anyone, a password, which must not
# lie in a log, where the parts of a picture lie, which come on their own, and the runs of the
# planner, which are working papers.
NO_COMMAND = {
    Path("people/founding.py"),
    Path("photos/storing.py"),
    Path("planning/runs.py"),
    Path("settings/management/commands/staff_password.py"),
}

ROW_WRITES = {"save", "delete", "create", "get_or_create", "update_or_create"}
BULK_WRITES = {"bulk_create", "bulk_update", "update"}
CLOCKS = {"timezone", "datetime", "date"}
CLOCK_READS = {"now", "utcnow", "today"}
LOG_LEVELS = {"debug", "info", "warning", "error", "exception", "critical", "log"}
LOGGERS = {"log", "logger", "logging"}
SAFE_TO_LOG = {"id", "pk", "seq", "code", "kind", "version", "__name__", "count"}


def raw_writes(path: Path, tree: ast.Module) -> Iterator[Fault]:
    """Rows are written where an `Act` is in hand: by a command. `path` begins at the area."""
    if path.parts[0] in BELOW_THE_COMMANDS or path in NO_COMMAND or "migrations" in path.parts:
        return
    acting = {
        id(call) for function in functions(tree) if acts(function) for call in calls(function)
    }
    for call in calls(tree):
        name = call.func.attr if isinstance(call.func, ast.Attribute) else ""
        # dict.update takes a mapping; QuerySet.update takes keywords only.
        written = name in ROW_WRITES | BULK_WRITES and not (name == "update" and call.args)
        if written and id(call) not in acting:
            yield Fault(path, call.lineno, f".{name}() outside a command: send a command")


def clock_reads(path: Path, tree: ast.Module) -> Iterator[Fault]:
    """The time comes in as an argument; clock.py alone reads it."""
    if path == Path("clock.py"):
        return
    for node in ast.walk(tree):
        if isinstance(node, ast.Attribute) and node.attr in CLOCK_READS:
            if last_name(node.value) in CLOCKS:
                yield Fault(path, node.lineno, f".{node.attr} outside clock.py: take the time in")
        elif isinstance(node, ast.keyword) and node.arg in {"auto_now", "auto_now_add"}:
            yield Fault(path, node.value.lineno, f"{node.arg} reads the clock: take the time in")


def words_in_logs(path: Path, tree: ast.Module) -> Iterator[Fault]:
    """A log line is a constant text with ids, counts and codes; what people typed never enters."""
    for call in calls(tree):
        if not isinstance(call.func, ast.Attribute) or call.func.attr not in LOG_LEVELS:
            continue
        if last_name(call.func.value).lstrip("_").lower() not in LOGGERS:
            continue
        given = [*call.args, *(word.value for word in call.keywords if word.arg != "exc_info")]
        for value in given:
            if not safe_to_log(value):
                yield Fault(path, call.lineno, f"logs {ast.unparse(value)}: log its id instead")


def live_models_in_migrations(path: Path, tree: ast.Module) -> Iterator[Fault]:
    """A migration works on the models as they were: `apps.get_model`."""
    if "migrations" not in path.parts:
        return
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            modules = [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom):
            modules = [f"{node.module or ''}.{alias.name}" for alias in node.names]
        else:
            continue
        for module in modules:
            if "models" in module.split(".") and not module.startswith("django."):
                yield Fault(path, node.lineno, f"imports {module}: use apps.get_model")


Rule = Callable[[Path, ast.Module], Iterator[Fault]]

RULES: tuple[Rule, ...] = (
    raw_writes,
    clock_reads,
    words_in_logs,
    live_models_in_migrations,
)


def functions(tree: ast.AST) -> Iterator[ast.FunctionDef]:
    return (node for node in ast.walk(tree) if isinstance(node, ast.FunctionDef))


def acts(function: ast.FunctionDef) -> bool:
    """Whether it takes an `Act`, which only the command log makes, inside its transaction."""
    return any(arg.annotation and last_name(arg.annotation) == "Act" for arg in function.args.args)


def calls(tree: ast.AST) -> Iterator[ast.Call]:
    return (node for node in ast.walk(tree) if isinstance(node, ast.Call))


def last_name(node: ast.expr) -> str:
    if isinstance(node, ast.Attribute):
        return node.attr
    return node.id if isinstance(node, ast.Name) else ""


def safe_to_log(value: ast.expr) -> bool:
    if isinstance(value, ast.Constant):
        return True
    if isinstance(value, ast.Call):
        return last_name(value.func) == "len"
    name = last_name(value)
    return name in SAFE_TO_LOG or name.endswith(("_id", "_count", "_seq"))
