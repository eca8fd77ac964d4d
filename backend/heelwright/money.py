"""Money: decimals with two places, which is what every currency that the books name has."""

from decimal import ROUND_HALF_UP, Decimal

CENT = Decimal("0.01")


def rounded(amount: Decimal) -> Decimal:
    """To whole cents or pence, a half up: as tax offices and people do it by hand."""
    return amount.quantize(CENT, ROUND_HALF_UP)
