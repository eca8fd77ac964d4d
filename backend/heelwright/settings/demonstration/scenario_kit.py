"""The kit of the invented practice as typed data, and what was done with it yesterday."""

from typing import Any, Literal

from heelwright.settings.demonstration.shape import Shape


class Last(Shape):
    """What was done with a set yesterday evening; by two, each without knowing of the other."""

    what: Literal["take_out", "soil", "through", "interrupted", "wiped_again"]
    by: list[str]
    note: str = ""


class Labelled(Shape):
    label: str
    name: str


class InstrumentSet(Labelled):
    holds: str
    made_ready: Literal["wrapped", "unwrapped", "wiped"] = "wrapped"
    worked_with: bool = False
    last: Last | None = None


class Machine(Labelled):
    """`serviced` and `done` are days ago; `done` by the kind of check."""

    machine: str
    serial: str
    serviced: int | None = None
    done: dict[str, list[int]]


class Disinfectant(Labelled):
    used_for: str
    active: str
    batch: str
    contact_minutes: float
    expires_in: int
    stock_percent: float | None = None
    use_ppm: float | None = None
    mixed_keeps_hours: float | None = None


class Lot(Labelled):
    supply: str
    lot: str
    count: int
    expires_in: int | None = None
    counted: int | None = None


class Mixed(Shape):
    product: str
    volume_ml: float


class Kit(Shape):
    """Whatever names a thing names it by its label."""

    holds: dict[str, list[dict[str, Any]]]
    sets: list[InstrumentSet]
    machines: list[Machine]
    products: list[Disinfectant]
    mixed: Mixed
    lots: list[Lot]
    visit_takes: dict[str, int]
    visit_wipes_with: str
    not_needed: list[str]
