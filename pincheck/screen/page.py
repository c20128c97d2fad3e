"""Pages: lines of pieces, some of which one can stand on. All that the screen shows is a page."""

from collections.abc import Callable, Iterable, Sequence
from typing import Literal, Protocol

from attrs import frozen
from rich.cells import cell_len

Tone = Literal[
    "", "danger", "fault", "advice", "agrees", "dim", "title", "strong", "added", "removed"
]


@frozen
class Piece:
    """A run of characters in one tone; `target` is what it stands for, None for plain text.

    A piece with a target begins and ends with a blank, where the cursor's marks go; one that
    stands for its `whole` line only begins with one.
    """

    text: str
    tone: Tone = ""
    target: object = None
    whole: bool = False


Line = tuple[Piece, ...]


@frozen
class Spot:
    """Where the cursor stands: line from 0 and piece from 0."""

    y: int = 0
    x: int = 0


class Page(Protocol):
    """Lines by number; a long page makes them when asked."""

    @property
    def height(self) -> int: ...

    def line(self, y: int) -> Line: ...


@frozen
class Sheet:
    """A page whose lines are at hand."""

    lines: Sequence[Line] = ()

    @property
    def height(self) -> int:
        """Number of lines."""
        return len(self.lines)

    def line(self, y: int) -> Line:
        """Return one line."""
        return self.lines[y]


@frozen
class Listing:
    """A page that makes each line when it comes into view."""

    height: int
    line: Callable[[int], Line]


def text(content: str, tone: Tone = "") -> Line:
    """Return a line of one piece."""
    return (Piece(content, tone),)


def stops(line: Line) -> list[int]:
    """Return the pieces of a line that one can stand on."""
    return [x for x, piece in enumerate(line) if piece.target is not None]


def column(line: Line, x: int) -> int:
    """Return the column where piece `x` begins."""
    return sum(cell_len(piece.text) for piece in line[:x])


def target(page: Page, spot: Spot | None) -> object:
    """Return what stands at a spot, None for nothing."""
    if spot is None or spot.y >= page.height:
        return None
    line = page.line(spot.y)
    return line[spot.x].target if spot.x < len(line) else None


def find(page: Page, wanted: object) -> Spot | None:
    """Return the first spot of a target, None where the page has it not."""
    if wanted is None:
        return None
    for y in range(page.height):
        for x, piece in enumerate(page.line(y)):
            if piece.target == wanted:
                return Spot(y, x)
    return None


def first(page: Page) -> Spot | None:
    """Return the first spot that one can stand on."""
    return _nearest(page, range(page.height), 0)


def last(page: Page) -> Spot | None:
    """Return the last line's first spot that one can stand on."""
    return _nearest(page, range(page.height - 1, -1, -1), 0)


def at(page: Page, y: int, wanted_column: int) -> Spot | None:
    """Return the spot under a column of one line, None where it is plain text."""
    if not 0 <= y < page.height:
        return None
    start, line = 0, page.line(y)
    for x, piece in enumerate(line):
        start += cell_len(piece.text)
        if piece.whole or (piece.target is not None and wanted_column < start):
            return Spot(y, x)
        if wanted_column < start:
            break
    return None


def across(page: Page, spot: Spot, by: int) -> Spot:
    """Return the next spot of the same line, the same one at its end."""
    there = stops(page.line(spot.y))
    index = there.index(spot.x) + by
    return Spot(spot.y, there[index]) if 0 <= index < len(there) else spot


def down(page: Page, spot: Spot, by: int) -> Spot:
    """Return the spot at least `by` lines below (above where negative), the last one there is."""
    wanted = column(page.line(spot.y), spot.x)
    if by > 0:
        ahead: Iterable[int] = range(min(spot.y + by, page.height), page.height)
        short: Iterable[int] = range(min(spot.y + by, page.height) - 1, spot.y, -1)
    else:
        ahead = range(max(spot.y + by, -1), -1, -1)
        short = range(max(spot.y + by, -1) + 1, spot.y)
    return _nearest(page, ahead, wanted) or _nearest(page, short, wanted) or spot


def _nearest(page: Page, lines: Iterable[int], wanted: int) -> Spot | None:
    for y in lines:
        line = page.line(y)
        if there := stops(line):
            return Spot(y, min(there, key=lambda x: abs(column(line, x) - wanted)))
    return None
