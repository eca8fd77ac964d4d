"""What the areas have declared: every command, every kind of row that syncs, every paper."""

from collections.abc import Callable
from typing import Any
from uuid import UUID

from django.db.models import Model
from pydantic import BaseModel

from heelwright.declarations import Command, Document, FeedKind, Log, Power

_commands: dict[str, Command] = {}
_kinds: dict[str, FeedKind] = {}
_documents: dict[str, Document] = {}
_logs: dict[str, Log] = {}
_followers: dict[type[Model], str] = {}
Apply = Callable[[Any, Any], None]
Afterwards = Callable[[Any, UUID], None]
_afterwards: list[Afterwards] = []


def command(power: Power, args: type[BaseModel]) -> Callable[[Apply], Apply]:
    """Declare the decorated function as the command of its own name."""

    def declare(apply: Apply) -> Apply:
        name = apply.__name__
        if name in _commands:
            raise ValueError(f"command {name} is declared twice")
        _commands[name] = Command(name, power, args, apply)
        return apply

    return declare


def feed_kind(kind: FeedKind) -> FeedKind:
    """Declare a kind of row that devices hold."""
    if kind.name in _kinds:
        raise ValueError(f"feed kind {kind.name} is declared twice")
    _kinds[kind.name] = kind
    return kind


def document(paper: Document) -> Document:
    """Declare a printable paper."""
    if paper.name in _documents:
        raise ValueError(f"document {paper.name} is declared twice")
    _documents[paper.name] = paper
    return paper


def log(kept: Log) -> Log:
    """Declare a log over days."""
    if kept.name in _logs:
        raise ValueError(f"log {kept.name} is declared twice")
    _logs[kept.name] = kept
    return kept


def follows_client(model: type[Model], field: str = "client_id") -> None:
    """Declare that a model's rows belong to a client, and go along when two cards become one.

    `field` is the attribute that holds the client's id.
    """
    _followers[model] = field


def after_each_command(tell: Afterwards) -> Afterwards:
    """Register what is brought up to date, with the act and the client's id, after every command
    about a client."""
    _afterwards.append(tell)
    return tell


def bring_up_to_date(act: Any, client: UUID) -> None:
    for tell in _afterwards:
        tell(act, client)


def followers() -> dict[type[Model], str]:
    return dict(_followers)


def documents() -> dict[str, Document]:
    return dict(_documents)


def logs() -> dict[str, Log]:
    return dict(_logs)


def commands() -> dict[str, Command]:
    return dict(_commands)


def kinds() -> dict[str, FeedKind]:
    return dict(_kinds)


def kind_of(row: Model) -> FeedKind | None:
    """The feed kind of a row, or None for rows that stay on the server."""
    for kind in _kinds.values():
        if isinstance(row, kind.model) and kind.of(row):
            return kind
    return None
