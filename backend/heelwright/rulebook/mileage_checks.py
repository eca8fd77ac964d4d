"""Whether the official rates of a book leave no day with two of them."""

from collections.abc import Mapping
from itertools import pairwise
from typing import get_args

from heelwright.rulebook.errors import BookError
from heelwright.rulebook.mileage_entries import VehicleKind
from heelwright.rulebook.schema import Content


def check_mileage(content: Content, origin: Mapping[str, str]) -> None:
    for kind in get_args(VehicleKind):
        rates = [rate for rate in content.mileage_rates if kind in rate.vehicles]
        for before, after in pairwise(sorted(rates, key=lambda rate: rate.from_)):
            if before.until is None or before.until >= after.from_:
                raise BookError(_file(origin, after.id), after.id,
                                f"begins before {before.id} ends",
                                "Give the earlier one the day before as its until.")  # fmt: skip
    if content.mileage_rates and content.tax is None:
        first = content.mileage_rates[0].id
        raise BookError(_file(origin, first), first, "is a rate of a book without tax",
                        "Give the place a tax in its book.yaml.")  # fmt: skip


def _file(origin: Mapping[str, str], rate: str) -> str:
    return origin.get(f"mileage_rates.{rate}", "mileage.yaml")
