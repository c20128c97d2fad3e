"""What a TOML text is made of, by offsets: names, values, pairs and table headers."""

from attrs import field, frozen


@frozen
class Name:
    """One part of a dotted key, as written."""

    written: str
    start: int
    end: int


@frozen
class Node:
    """A value from `start` to `end`, with the items of a list or the pairs of an inline table.

    `depth` is how deep its own lists and tables are nested, where the grammar counts it.
    """

    start: int
    end: int
    items: "tuple[Node, ...]" = ()
    pairs: "tuple[Pair, ...]" = ()
    depth: int = field(default=0, eq=False, repr=False)


@frozen
class Pair:
    """A dotted key and its value."""

    key: tuple[Name, ...]
    value: Node


@frozen
class Table:
    """A header `[key]`, or `[[key]]` where `repeated`."""

    key: tuple[Name, ...]
    start: int
    end: int
    repeated: bool = False


class BrokenError(Exception):
    """A place where a text stops being TOML, what is wrong there and what could have stood."""

    def __init__(self, position: int, message: str, expected: str = "") -> None:
        super().__init__(message)
        self.position = position
        self.message = message
        self.expected = expected
