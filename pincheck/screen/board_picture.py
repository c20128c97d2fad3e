"""A board drawn from its wiring data: connectors as boxes with pins, nets and fitted parts."""

from collections.abc import Iterator, Mapping, Sequence

from rich.cells import cell_len

from pincheck.model.finding import Finding, Result
from pincheck.model.frozen import frozen
from pincheck.model.wiring import Connector, Fit
from pincheck.reports import sentences
from pincheck.reports.glyphs import Glyphs
from pincheck.screen.page import TONES, PageLine, TextRun, fit, text
from pincheck.screen.pins import Pin

SLOT = 26
"""Columns of a box with one row of pins, frame included."""

_PIN = 17
_LABEL = SLOT - 2 - _PIN


@frozen
class Box:
    """One connector, drawn."""

    lines: tuple[PageLine, ...]
    slots: int


def boards(result: Result) -> tuple[str, ...]:
    """Return the boards in the order to look at: breakouts first."""
    known = result.assembly.boards
    return tuple(sorted(known, key=lambda key: bool(known[key].chip)))


def picture(
    result: Result,
    board: str,
    marks: Mapping[Pin, Sequence[Finding]],
    width: int,
    glyphs: Glyphs,
) -> Iterator[PageLine]:
    """Yield one board; every pin is a target, pins with findings are marked."""
    it = result.assembly.boards[board]
    chip = f", chip {it.chip}" if it.chip else ", no chip"
    boxes = [_box(result, board, connector, marks, glyphs) for connector in _order(result, board)]
    yield text(f" {it.title}{chip}", "title")
    yield from _packed(boxes, width)


def _order(result: Result, board: str) -> list[Connector]:
    """Return cabled connectors first, the others as the file has them."""
    cabled = {end for cable in result.assembly.cables for end in (cable.from_, cable.to)}
    connectors = result.assembly.boards[board].connectors.values()
    return sorted(connectors, key=lambda c: (board, c.name) not in cabled)


def _box(
    result: Result,
    board: str,
    connector: Connector,
    marks: Mapping[Pin, Sequence[Finding]],
    glyphs: Glyphs,
) -> Box:
    rows = 2 if connector.rows == 2 else 1
    inner, room = (SLOT * 2 - 2, SLOT - 1) if rows == 2 else (SLOT - 2, _PIN)
    pitch = f" {connector.pitch_mm:g} mm " if connector.pitch_mm else ""
    corner = glyphs.corners
    title = f" {fit(connector.name, min(len(connector.name), inner - len(pitch) - 2))} "
    rule = glyphs.across * (inner - len(title) - len(pitch))
    fitted = _fitted(result, board, connector.name)
    lines: list[PageLine] = [
        (
            TextRun(corner[0], "dim"),
            TextRun(title, "strong"),
            TextRun(rule + pitch + corner[1], "dim"),
        ),
        _framed((TextRun(fit(f" {_whose(result, board, connector, fitted)}", inner)),), glyphs),
    ]
    for start in range(0, len(connector.pins), rows):
        runs = [
            _pin(board, connector, number, marks, room)
            for number in range(start + 1, min(start + rows, len(connector.pins)) + 1)
        ]
        # Only a single row leaves room to name the terminals; of an odd count the last is alone.
        if rows == 1:
            runs.append(TextRun(fit(_terminal(fitted, start + 1), _LABEL, ""), "dim"))
        elif len(runs) == 1:
            runs.append(TextRun(" " * room))
        lines.append(_framed(tuple(runs), glyphs))
    lines.append(text(corner[2] + glyphs.across * inner + corner[3], "dim"))
    return Box(tuple(lines), -(-(inner + 2) // SLOT))


def _framed(runs: PageLine, glyphs: Glyphs) -> PageLine:
    side = TextRun(glyphs.down, "dim")
    return (side, *runs, side)


def _fitted(result: Result, board: str, connector: str) -> list[Fit]:
    return [fit_ for fit_ in result.assembly.fits if fit_.connector == (board, connector)]


def _whose(result: Result, board: str, connector: Connector, fitted: list[Fit]) -> str:
    if fitted:
        return " + ".join(fit_.part.title or fit_.part.id for fit_ in fitted)
    for cable in result.assembly.cables:
        for end, other in ((cable.from_, cable.to), (cable.to, cable.from_)):
            if end == (board, connector.name):
                return f"cable to {result.assembly.boards[other[0]].title} {other[1]}"
    return "nothing fitted"


def _terminal(fitted: list[Fit], number: int) -> str:
    for fit_ in fitted:
        for terminal, pin in zip(fit_.part.terminals, fit_.pins, strict=False):
            if pin == number and terminal not in ("any", ""):
                return terminal.removesuffix("ed")
    return ""


def _pin(
    board: str,
    connector: Connector,
    number: int,
    marks: Mapping[Pin, Sequence[Finding]],
    room: int,
) -> TextRun:
    pin = Pin(board, connector.name, number)
    net = connector.pins[number - 1] or "-"
    worst = max((finding.severity for finding in marks.get(pin, ())), default=None)
    mark = sentences.MARKS[worst] if worst else ""
    shown = f" {number:>2} {fit(net, room - 7)}{mark:<2} "
    return TextRun(shown, TONES[worst] if worst else "", pin)


def _packed(boxes: Sequence[Box], width: int) -> Iterator[PageLine]:
    """Yield the boxes side by side, each as far up as it fits."""
    slots = max(width // SLOT, 1)
    tops = [0] * slots
    canvas: dict[int, list[tuple[int, PageLine]]] = {}
    for box in boxes:
        span = min(box.slots, slots)
        at = min(range(slots - span + 1), key=lambda x: max(tops[x : x + span]))
        top = max(tops[at : at + span])
        for y, line in enumerate(box.lines, top):
            canvas.setdefault(y, []).append((at * SLOT, line))
        tops[at : at + span] = [top + len(box.lines)] * span
    for y in range(max(tops)):
        yield _joined(sorted(canvas.get(y, ()), key=lambda part: part[0]))


def _joined(parts: Sequence[tuple[int, PageLine]]) -> PageLine:
    runs: list[TextRun] = []
    column = 0
    for start, line in parts:
        if start > column:
            runs.append(TextRun(" " * (start - column)))
        runs += line
        column = max(start, column) + sum(cell_len(run.text) for run in line)
    return tuple(runs)
