"""A comparison of netlist and board file as text and as plain JSON values."""

from collections.abc import Iterator, Sequence
from typing import Any

from pincheck.model.frozen import frozen
from pincheck.model.source import Span
from pincheck.model.wiring import Board
from pincheck.netlist.against import BoardDifference, compare
from pincheck.netlist.against_parts import compare_resistors, states_resistors
from pincheck.netlist.points import Netlist
from pincheck.netlist.read import ListedResistor
from pincheck.netlist.resistors import not_placed
from pincheck.reports.json import SCHEMA_VERSION
from pincheck.reports.sentences import plural
from pincheck.reports.text import labelled, wrap

_NEVER = "chip pins, switches, drivers, keys and ratings: no netlist has them"


@frozen
class BoardReport:
    """What was compared of one board, what differs, and what could not be compared."""

    netlist: str
    board: str
    pins: int
    differences: tuple[BoardDifference, ...]
    taken: tuple[str, ...]
    renamed: tuple[str, ...]
    unchecked: tuple[str, ...]

    @property
    def headline(self) -> str:
        """The answer in one sentence."""
        many = plural(len(self.differences), "difference")
        found = many if self.differences else "no difference"
        open_ = f", {plural(len(self.unchecked), 'thing')} not checked" if self.unchecked else ""
        return f"{found} in {plural(self.pins, 'connected pin')}{open_}."


def board_report(
    netlist: Netlist,
    board: Board,
    board_file: str,
    names: dict[str, str],
    parts: dict[str, ListedResistor] | None,
) -> BoardReport:
    """Return the comparison; without a parts list resistors are not checked."""
    found = compare(netlist, board, names)
    differences = list(found.differences)
    stated = states_resistors(board)
    unchecked = []
    if parts is None:
        if stated:
            unchecked.append(f"resistors of {', '.join(stated)}: no parts list was given")
    else:
        differences += compare_resistors(netlist, board, parts, found.partners)
        if hidden := [net for net in stated if net not in found.partners]:
            unchecked.append(f"resistors of {', '.join(hidden)}: on no connector that was found")
        unchecked += not_placed(netlist, parts)
    return BoardReport(
        netlist.source.name,
        board_file,
        found.pins,
        tuple(differences),
        found.taken,
        found.renamed,
        tuple(unchecked),
    )


def lines(report: BoardReport) -> Iterator[str]:
    """Yield the report, each difference with its place in both files."""
    yield from wrap(f"{report.netlist} against {report.board}: {report.headline}")
    for number, it in enumerate(report.differences, 1):
        yield ""
        yield from wrap(f"{number}. {it.message}")
        if it.board_at:
            yield from labelled("board", str(it.board_at))
        if it.netlist_at:
            yield from labelled("netlist", str(it.netlist_at))
    yield ""
    yield from _listed("Taken by their nets", report.taken)
    yield from _listed("Named differently", report.renamed)
    yield from _listed("Not checked", report.unchecked)
    yield from wrap(f"Not compared: {_NEVER}.")


def _listed(head: str, said: Sequence[str]) -> Iterator[str]:
    if said:
        yield from wrap(f"{head}: {'; '.join(said)}.")


def record(report: BoardReport) -> dict[str, Any]:
    """Return the report as plain JSON values."""
    return {
        "schema_version": SCHEMA_VERSION,
        "netlist": report.netlist,
        "board": report.board,
        "headline": report.headline,
        "connected_pins": report.pins,
        "differences": [
            {
                "message": it.message,
                "board": _place(it.board_at),
                "netlist": _place(it.netlist_at),
            }
            for it in report.differences
        ],
        "taken": list(report.taken),
        "renamed": list(report.renamed),
        "not_checked": list(report.unchecked),
    }


def _place(span: Span | None) -> dict[str, Any] | None:
    return {"file": span.source, "line": span.line, "column": span.column} if span else None
