"""The code on a label: 7 random symbols of Crockford's base 32 (published as an open encoding) and
its check symbol, kept and shown as XXXX-XXXX. The twin is pwa/src/domain/kit/labels.ts; both run
tests/parity/labels.json.

The check finds each single wrong symbol and each two symbols that stand in each other's place. Of
two or more symbols that are wrong in another way it lets one in 37 pass.
"""

import re
from collections.abc import Callable
from enum import StrEnum

SYMBOLS = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
RANDOM_SYMBOLS = 7
LENGTH = RANDOM_SYMBOLS + 1
# A prime above 32; its last five have no letter or digit of their own.
MODULUS = 37

_VALUES = {symbol: value for value, symbol in enumerate(SYMBOLS)} | {"O": 0, "I": 1, "L": 1}
_VALUES |= {symbol.lower(): value for symbol, value in _VALUES.items()}
_BETWEEN = re.compile("[ \t\r\n\u00a0\u2010-\u2015-]")


class LabelProblem(StrEnum):
    LENGTH = "length"
    SYMBOL = "symbol"
    CHECK = "check"


TOLD = {
    LabelProblem.LENGTH: "A label's code has 8 letters and digits. Give all of them.",
    LabelProblem.SYMBOL: "A label's code has digits and letters without U. Read it again.",
    LabelProblem.CHECK: "One of the letters or digits is wrong. Compare them with the label.",
}


class BadLabel(ValueError):
    """What was read is no label's code; says why and what to do, and not what was read."""

    def __init__(self, problem: LabelProblem) -> None:
        super().__init__(TOLD[problem])
        self.problem = problem


def read_label(text: str) -> str:
    """The code as XXXX-XXXX, from what somebody typed or a camera read; raises BadLabel."""
    symbols = _BETWEEN.sub("", text)
    if len(symbols) != LENGTH:
        raise BadLabel(LabelProblem.LENGTH)
    if not all(symbol in _VALUES for symbol in symbols):
        raise BadLabel(LabelProblem.SYMBOL)
    values = [_VALUES[symbol] for symbol in symbols]
    if _check_of(values[:RANDOM_SYMBOLS]) != values[RANDOM_SYMBOLS]:
        raise BadLabel(LabelProblem.CHECK)
    return _shown(values)


def draw_label(random_bytes: Callable[[int], bytes]) -> str:
    """A new code. One byte for each symbol, of which five bits count; drawn anew where the check
    symbol would be no letter or digit."""
    while True:
        values = [byte % len(SYMBOLS) for byte in random_bytes(RANDOM_SYMBOLS)]
        check = _check_of(values)
        if check < len(SYMBOLS):
            return _shown([*values, check])


def _check_of(values: list[int]) -> int:
    left = 0
    for value in values:
        left = (left * len(SYMBOLS) + value) % MODULUS
    return left


def _shown(values: list[int]) -> str:
    symbols = "".join(SYMBOLS[value] for value in values)
    return f"{symbols[:4]}-{symbols[4:]}"
