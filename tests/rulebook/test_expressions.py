"""The subset of CEL that a book may use: what passes, what is refused, and with which words."""

import pytest

from heelwright.rulebook.expressions import Compiler, ExpressionError, Name

COMPILER = Compiler(
    {
        "numb": Name("yes_no"),
        "found": Name("bool"),
        "depth": Name("number"),
        "years": Name("int"),
        "side": Name("choice", frozenset({"left", "right"})),
        "medicines": Name("choices", frozenset({"warfarin"})),
        "last_seen": Name("date_known"),
        "unsure_numb": Name("yes_no"),
    }
)


@pytest.mark.parametrize(
    ("source", "names"),
    [
        ("numb && (found || depth >= 2.0)", ("numb", "found", "depth")),
        ("!numb", ("numb",)),
        ("side == 'left' || 'right' != side", ("side",)),
        ("side in ['left', 'right']", ("side",)),
        ("'warfarin' in medicines", ("medicines",)),
        ("years in [1, 2]", ("years",)),
        ("years > -1 && numb == found", ("years", "numb", "found")),
        ("unsure_numb", ("unsure_numb",)),
        ("true", ()),
    ],
)
def test_inside(source: str, names: tuple[str, ...]) -> None:
    assert COMPILER.compile(source).names == names


@pytest.mark.parametrize(
    ("source", "says"),
    [
        ("ulcer", "neither a question nor a fact"),
        ("numb ? found : numb", "cannot read"),
        ("has(numb)", "neither a question"),
        ("size(medicines) > 1", "neither a question"),
        ("medicines.exists(x, true)", "cannot read"),
        ("numb.?found", "cannot read"),
        ("depth + 1.0 > 2.0", "cannot read"),
        ("years -1 > 2", "_-_"),
        ("{'a': 1} == {}", "cannot read"),
        ("1u == 1u", "cannot read"),
        ("null == null", "neither a question"),
        ('side == "left"', "cannot read"),
        (r"side == 'le\x66t'", "cannot read"),
        ("side == 'lefft'", "no choice of side"),
        ("side in ['left', 'rigth']", "no choice of side"),
        ("'aspirin' in medicines", "no choice of medicines"),
        ("side < 'left'", "no matching overload"),
        ("side == true", "no matching overload"),
        ("numb > 3", "no matching overload"),
        ("numb == 'left'", "no matching overload"),
        ("depth >= 2", "no matching overload"),
        ("years >= 2.0", "no matching overload"),
        ("years > 9007199254740993", "beyond 2^53"),
        ("side in ['left', 1]", "literals of one kind"),
        ("side in []", "literals of one kind"),
        ("['left'] == ['left']", "only after in"),
        ("medicines == medicines", "is a list"),
        ("last_seen == '2020'", "is a date"),
        ("'numb' in unsure_numb && unsure", "unsure is a list"),
        ("numb &&", "Syntax error"),
        ("(numb", "Syntax error"),
        ("side", "does not come to true or false"),
        ("", "Syntax error"),
    ],
)
def test_outside(source: str, says: str) -> None:
    with pytest.raises(ExpressionError) as caught:
        COMPILER.compile(source)
    assert says in str(caught.value)


@pytest.mark.parametrize(
    ("bound", "value"),
    [
        ({}, None),
        ({"numb": False}, False),
        ({"found": False, "depth": 1.0}, False),
        ({"numb": True}, None),
        ({"numb": True, "depth": 3.0}, True),
        ({"found": True}, None),
    ],
)
def test_a_side_that_decides_absorbs_what_is_unknown(
    bound: dict[str, bool | float], value: bool | None
) -> None:
    """CEL language definition, "Logical operators": && and || absorb an error (published)."""
    expression = COMPILER.compile("numb && (found || depth >= 2.0)")
    assert expression.evaluate(COMPILER.activation(bound)) is value


def test_data_of_another_type_is_an_error_and_not_unknown() -> None:
    with pytest.raises(ValueError, match="data of these types") as caught:
        COMPILER.compile("numb || found").evaluate(COMPILER.activation({"numb": 7777}))
    assert "7777" not in str(caught.value)
