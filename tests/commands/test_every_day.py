"""For every day that a command takes: one long before the practice, and one that no calendar of a
practice reaches, are slips of a finger. Check: our own rule."""

from collections.abc import Iterator
from typing import Any

import pytest

from heelwright.commandlog import registry
from tests.commands.examples import EXAMPLES, Furnished
from tests.database import everything, without_log

TOO_EARLY, TOO_LATE = "0001-01-01", "9999-12-31"


def dated(schema: Any) -> Iterator[str]:
    """The names of properties that hold one day, wherever in a shape they are."""
    if isinstance(schema, dict):
        for name, part in schema.get("properties", {}).items():
            if "date" in [each.get("format") for each in (part, *part.get("anyOf", []))]:
                yield name
        for part in schema.values():
            yield from dated(part)


# Where the example is of another kind of thing; residents are in people/test_import_residents.
ELSEWHERE = {
    *(
        (name, on)
        for name in ("register_thing", "amend_thing")
        for on in ("expires_on", "serviced_on")
    ),
    ("import_residents", "status_since"),
}
DAYS = [
    (name, field)
    for name, spec in sorted(registry.commands().items())
    for field in sorted(set(dated(spec.args.model_json_schema())))
    if (name, field) not in ELSEWHERE
]


def with_day(args: Any, field: str, day: str) -> Any:
    """The arguments with that day wherever the example has one."""
    if isinstance(args, list):
        return [with_day(each, field, day) for each in args]
    if isinstance(args, dict):
        return {k: day if k == field else with_day(v, field, day) for k, v in args.items()}
    return args


@pytest.mark.parametrize(("name", "field"), DAYS)
@pytest.mark.parametrize("day", [TOO_EARLY, TOO_LATE])
def test_a_year_that_is_a_slip(furnished: Furnished, name: str, field: str, day: str) -> None:
    args = EXAMPLES[name].args(furnished)
    slip = with_day(args, field, day)
    if slip == args:  # The example has none.
        into = "changes" if "changes" in args else field
        slip = {**args, into: {field: day} if into == "changes" else day}
    before = without_log(everything())
    refusal = furnished.world.hands[EXAMPLES[name].by].send(name, slip).refusal
    assert refusal is not None, slip
    assert refusal.code in ("date_too_early", "date_too_late", "wrong_order")
    # Of a span, the end is named.
    assert (refusal.field or "").rsplit(".", 1)[-1] in (field, "last")
    assert refusal.remedy
    assert without_log(everything()) == before
