"""Places in a TOML text by the grammar, which also knows what is wrong and what could stand."""

from collections.abc import Iterable
from functools import lru_cache
from typing import cast

from lark import Lark, Token, Transformer
from lark.exceptions import UnexpectedCharacters, UnexpectedInput, UnexpectedToken

from pincheck import grammar
from pincheck.model import limits
from pincheck.model.printable import printable
from pincheck.wiring.statement import BrokenError, Name, Node, Pair, Table


def statements(text: str) -> list[Pair | Table]:
    """Return the statements of a text; it may still break a rule that places do not show.

    Raises:
        BrokenError: the text is no TOML or nested past the bound.
    """
    try:
        # Line ends tell where a statement stops; one more at the end moves no offset.
        parsed: object = _parser().parse(text + "\n")
    except TooDeepError as error:
        message = f"lists and tables are nested deeper than {limits.WIRING_DEPTH}"
        raise BrokenError(error.position, message) from None
    except UnexpectedInput as error:
        raise BrokenError(*_describe(error, text)) from None
    return cast(list[Pair | Table], parsed)


@lru_cache(maxsize=1)
def _parser() -> Lark:
    return grammar.load("toml", transformer=Shape())


def _describe(error: UnexpectedInput, text: str) -> tuple[int, str, str]:
    at = min(error.pos_in_stream or 0, len(text))
    found = printable(text[at : at + 20].partition("\n")[0].strip())
    terminals = (
        error.allowed
        if isinstance(error, UnexpectedCharacters)
        else error.accepts or error.expected
        if isinstance(error, UnexpectedToken)
        else ()
    )
    message = f"this is not TOML: {found!r} cannot stand here" if found else "this line breaks off"
    return at, message, expected_words(terminals or ())


class TooDeepError(Exception):
    """Lists, tables or a dotted key nested past the bound."""

    def __init__(self, position: int) -> None:
        super().__init__(position)
        self.position = position


class Shape(Transformer[Token, list[Pair | Table]]):
    """Builds the statements while parsing, so that no deep tree is ever walked."""

    def start(self, children: list[Pair | Table]) -> list[Pair | Table]:
        return children

    def key(self, children: list[Token]) -> tuple[Name, ...]:
        if len(children) > limits.WIRING_DEPTH:
            raise TooDeepError(_start(children[0]))
        return tuple(Name(str(token), _start(token), _end(token)) for token in children)

    def pair(self, children: tuple[tuple[Name, ...], Node]) -> Pair:
        return Pair(*children)

    def table(self, children: tuple[Token, tuple[Name, ...], Token]) -> Table:
        return Table(children[1], _start(children[0]), _end(children[2]))

    def tables(self, children: tuple[Token, tuple[Name, ...], Token]) -> Table:
        return Table(children[1], _start(children[0]), _end(children[2]), repeated=True)

    def scalar(self, children: list[Token]) -> Node:
        return Node(_start(children[0]), _end(children[0]))

    def array(self, children: list[Token | Node]) -> Node:
        items = tuple(child for child in children if isinstance(child, Node))
        return _around(children[0], children[-1], items=items)

    def inline(self, children: list[Token | Pair]) -> Node:
        pairs = tuple(child for child in children if isinstance(child, Pair))
        return _around(children[0], children[-1], pairs=pairs)


def _around(
    first: object, last: object, items: tuple[Node, ...] = (), pairs: tuple[Pair, ...] = ()
) -> Node:
    assert isinstance(first, Token)
    assert isinstance(last, Token)
    inner = (*(item.depth for item in items), *(p.value.depth + len(p.key) - 1 for p in pairs))
    depth = 1 + max(inner, default=0)
    if depth > limits.WIRING_DEPTH:
        raise TooDeepError(_start(first))
    return Node(_start(first), _end(last), items, pairs, depth)


def _start(token: Token) -> int:
    return token.start_pos or 0


def _end(token: Token) -> int:
    return token.end_pos or 0


# The first row that shares a name counts. After a value the lexer cannot tell a list from a line,
# so it names the ends of all; the parser, which can, names one.
_AFTER_VALUE = frozenset({"_NEWLINE", "CLOSE", "CLOSE_INLINE"})
_WORDS: tuple[tuple[frozenset[str], str], ...] = (
    (
        frozenset({"ML_BASIC", "FLOAT", "INTEGER"}),
        'a value: a number, text in "quotes", true, false, a [list] or a {table}',
    ),
    (frozenset({"OPEN_TABLES"}), "a [table] or key = value"),
    (frozenset({"BARE_KEY"}), 'a key: letters, digits, _ and -, or text in "quotes"'),
    (frozenset({"EQUAL"}), "= after the key"),
    (frozenset({"CLOSE_TABLES"}), "]]"),
    (frozenset({"CLOSE"}), "] or a comma"),
    (frozenset({"CLOSE_INLINE"}), "} or a comma"),
    (frozenset({"_NEWLINE"}), "the end of the line"),
)


def expected_words(terminals: Iterable[str]) -> str:
    """Return in words what the grammar would have taken."""
    names = frozenset(terminals)
    if names >= _AFTER_VALUE:
        return "the end of the line, a comma or a closing bracket"
    return next((words for wanted, words in _WORDS if wanted & names), "")
