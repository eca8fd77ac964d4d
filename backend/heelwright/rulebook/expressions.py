"""CEL inside our stated subset: checking, compiling, three-valued evaluation.

The compiler checks grammar and types in an environment that has boolean operators,
comparisons and `in`, and nothing else. What it would still let through (macros, maps, string
order, lists of mixed types, misspelt choices) is refused on the tokens before.
"""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

# Ships stubs without the mark that they are there.
from cel_expr_python import cel  # type: ignore[import-untyped]

from heelwright.rulebook.schema import FactType, Kind

Value = bool | int | float | str | list[str]

SAFE_INT = 2**53  # beyond it a JavaScript number is no longer exact
WORDS = {"in", "true", "false"}
# Words that CEL reserves or gives a meaning of its own, and the names that we bind ourselves.
RESERVED = WORDS | {
    *("null", "as", "break", "const", "continue", "else", "for", "function", "if", "import"),
    *("let", "loop", "package", "namespace", "return", "var", "void", "while"),
    *("int", "uint", "bool", "double", "string", "bytes", "list", "map", "type", "dyn"),
    *("has", "all", "exists", "exists_one", "filter", "size", "unsure", "findings", "settings"),
}

TOKEN = re.compile(
    r"""\s*(?: (?P<name>[a-z][a-z0-9_]+)
             | (?P<string>'[^'\\\n]*')
             | (?P<double>-?[0-9]+\.[0-9]+)(?![\w.])
             | (?P<int>-?[0-9]+)(?![\w.])
             | (?P<op>&&|\|\||==|!=|<=|>=|[<>!()\[\],]) )""",
    re.VERBOSE | re.ASCII,
)

ENVIRONMENT = cel.NewEnvConfigFromYaml("""
name: heelwright
stdlib:
  disable_macros: true
  include_functions:
    - name: "_&&_"
    - name: "_||_"
    - name: "!_"
    - name: "_==_"
    - name: "_!=_"
    - {name: "_<_", overloads: [{id: less_int64}, {id: less_double}]}
    - {name: "_<=_", overloads: [{id: less_equals_int64}, {id: less_equals_double}]}
    - {name: "_>_", overloads: [{id: greater_int64}, {id: greater_double}]}
    - {name: "_>=_", overloads: [{id: greater_equals_int64}, {id: greater_equals_double}]}
    - {name: "@in", overloads: [{id: in_list}]}
""")

TYPES: dict[Kind | FactType, cel.Type] = {
    "yes_no": cel.Type.BOOL,
    "bool": cel.Type.BOOL,
    "int": cel.Type.INT,
    "number": cel.Type.DOUBLE,
    "choice": cel.Type.STRING,
    "choices": cel.Type.List(cel.Type.STRING),
    "touch_sites": cel.Type.List(cel.Type.STRING),
}
LISTS: set[Kind | FactType] = {"choices", "touch_sites"}


class ExpressionError(Exception):
    """An expression outside the subset; the text says what, the caller says where."""


@dataclass(frozen=True)
class Name:
    """What an expression may know about a question or a fact."""

    type: Kind | FactType
    choices: frozenset[str] = frozenset()


@dataclass(frozen=True)
class Token:
    kind: str
    text: str

    @property
    def literal(self) -> bool:
        return self.kind in ("string", "int", "double") or self.text in ("true", "false")


@dataclass(frozen=True)
class Expression:
    """A compiled expression with the names that it looks at."""

    source: str
    names: tuple[str, ...]
    program: cel.Expression

    def evaluate(self, activation: cel.Activation) -> bool | None:
        """None when the value hangs on a name that is not bound."""
        value = self.program.eval(activation).value()
        if isinstance(value, bool):
            return value
        if "No value with name" in str(value):
            return None
        # The library's text may quote the value, which is health data.
        raise ValueError(f"cannot be evaluated with data of these types: {self.source}")


class Compiler:
    """Compiles expressions over one book's names."""

    def __init__(self, names: Mapping[str, Name]) -> None:
        self.names = names
        typed = {key: TYPES[name.type] for key, name in names.items() if name.type in TYPES}
        self.environment = cel.NewEnv(config=ENVIRONMENT, variables=typed)

    def compile(self, source: str) -> Expression:
        tokens = tuple(tokenize(source))
        names = dict.fromkeys(t.text for t in tokens if t.kind == "name" and t.text not in WORDS)
        for name in names:
            self._check_name(name)
        for place in range(len(tokens)):
            self._check_around(tokens, place)
        return Expression(
            source=source,
            names=tuple(names),
            program=self._program(source),
        )

    def activation(self, bindings: Mapping[str, Value]) -> cel.Activation:
        return self.environment.Activation(bindings)

    def _program(self, source: str) -> cel.Expression:
        try:
            program = self.environment.compile(source)
        except RuntimeError as error:
            raise ExpressionError(str(error).splitlines()[0]) from None
        if program.return_type() != cel.Type.BOOL:
            raise ExpressionError("does not come to true or false")
        return program

    def _check_name(self, name: str) -> None:
        if name == "unsure":
            raise ExpressionError("unsure is a list: look in it with 'question' in unsure")
        if name not in self.names:
            raise ExpressionError(f"{name} is neither a question nor a fact")
        if self.names[name].type not in TYPES:
            raise ExpressionError(f"{name} is a date; only 'name' in unsure may look at it")

    def _check_around(self, tokens: tuple[Token, ...], place: int) -> None:
        token, before = tokens[place], tokens[place - 1] if place else Token("op", "")
        if token.text == "[":
            _check_list(tokens, place, before)
        if token.text == before.text == "!":
            raise ExpressionError("two ! in a row say nothing")
        if token.kind != "name" or token.text in WORDS:
            return
        if self.names[token.text].type in LISTS:
            self._check_looked_in(tokens, place)
        elif self.names[token.text].choices:
            self._check_choices(token.text, _compared(tokens, place))

    def _check_looked_in(self, tokens: tuple[Token, ...], place: int) -> None:
        item, word = (*(Token("op", "") for _ in range(2)), *tokens[:place])[-2:]
        name = tokens[place].text
        if word.text != "in" or item.kind != "string":
            raise ExpressionError(f"{name} is a list: look in it with 'text' in {name}")
        self._check_choices(name, [item])

    def _check_choices(self, name: str, literals: list[Token]) -> None:
        for literal in literals:
            if literal.kind == "string" and literal.text[1:-1] not in self.names[name].choices:
                raise ExpressionError(f"{literal.text} is no choice of {name}")


def tokenize(source: str) -> Iterator[Token]:
    place = 0
    text = source.strip()
    while place < len(text):
        match = TOKEN.match(text, place)
        if match is None or match.lastgroup is None:
            raise ExpressionError(f"cannot read {text[place : place + 12].strip()!r}")
        token = Token(match.lastgroup, match[match.lastgroup])
        if token.kind == "int" and abs(int(token.text)) > SAFE_INT:
            raise ExpressionError(f"{token.text} is beyond 2^53")
        yield token
        place = match.end()


def _check_list(tokens: tuple[Token, ...], place: int, before: Token) -> None:
    items = _listed(tokens, place)
    if before.text != "in":
        raise ExpressionError("a list may stand only after in")
    if len({item.kind for item in items}) != 1 or not all(item.literal for item in items):
        raise ExpressionError("a list holds literals of one kind, at least one")


def _listed(tokens: tuple[Token, ...], place: int) -> list[Token]:
    inside = [token.text for token in tokens[place:]]
    end = place + (inside.index("]") if "]" in inside else len(inside))
    return [token for token in tokens[place + 1 : end] if token.text != ","]


def _compared(tokens: tuple[Token, ...], place: int) -> list[Token]:
    """The literals that the choice at this place is held against."""
    found = []
    if place + 2 < len(tokens) and tokens[place + 1].text in ("==", "!="):
        found.append(tokens[place + 2])
    if place >= 2 and tokens[place - 1].text in ("==", "!="):
        found.append(tokens[place - 2])
    if place + 2 < len(tokens) and tokens[place + 1].text == "in":
        found += _listed(tokens, place + 2)
    return found
