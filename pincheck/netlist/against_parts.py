"""Pulls, dividers and links of a board file against the resistors of netlist and parts list."""

from collections.abc import Iterator, Mapping

from pincheck.model.wiring import Board, Net
from pincheck.netlist.against import BoardDifference
from pincheck.netlist.points import Netlist
from pincheck.netlist.read import ListedResistor
from pincheck.netlist.resistors import LINK_OHM, PlacedResistor, placed, volts

_SAME = 0.01
"""Share by which two writings of one resistance may differ: the step of the E96 row is 2.4 %."""


def states_resistors(board: Board) -> list[str]:
    """Return the nets of a board file of which it states a resistor."""
    return [net.name for net in board.nets.values() if _stated(net)]


def _stated(net: Net) -> bool:
    return bool(net.pullup or net.pulldown or net.divider or net.series_ohm)


def compare_resistors(
    netlist: Netlist,
    board: Board,
    parts: Mapping[str, ListedResistor],
    partners: Mapping[str, str],
) -> Iterator[BoardDifference]:
    """Yield each resistor that one side has and the other has not, or has with another value."""
    there = list(placed(netlist, parts))
    used: set[str] = set()
    for net in board.nets.values():
        theirs = partners.get(net.name)
        if theirs is None:
            continue
        for what, ohm, found in _sought(net, theirs, there):
            best = min(found, key=lambda it: abs(it.ohm - ohm), default=None)
            if best:
                used.add(best.listed.reference)
            if best is None:
                message = f"{what} of {ohm:g} ohm on {net.name} is no resistor of the netlist"
                yield BoardDifference(message, net.at, netlist.nets[theirs][0].span)
            elif abs(best.ohm - ohm) > _SAME * ohm:
                message = (
                    f"{what} on {net.name} is {ohm:g} ohm in the board file; "
                    f"{best.listed.reference} has {best.ohm:g} ohm in the parts list"
                )
                yield BoardDifference(message, net.at, best.listed.span)
    own = {theirs: name for name, theirs in partners.items()}
    for resistor in there:
        if resistor.listed.reference not in used and (said := _unsaid(resistor, board, own)):
            yield BoardDifference(said, None, resistor.listed.span)


def _sought(
    net: Net, theirs: str, there: list[PlacedResistor]
) -> Iterator[tuple[str, float, list[PlacedResistor]]]:
    """Yield each resistor that a net states, and those of the netlist that stand where it does."""
    mine = [it for it in there if theirs in it.nets]
    for what, pull in (("the pull-up", net.pullup), ("the pull-down", net.pulldown)):
        if pull:
            to = [it for it in mine if _near(it.pull_from(theirs), pull.to_v)]
            yield what, pull.ohm, to
    between = [it for it in mine if it.pull_from(theirs) is None]
    if net.divider:
        yield "the divider's upper resistor", net.divider.top_ohm, between
        taps = {name for it in between for name in it.nets} - {theirs}
        lower = [it for it in there if taps & set(it.nets) and 0.0 in map(volts, it.nets)]
        yield "the divider's lower resistor", net.divider.bottom_ohm, lower
    if net.series_ohm:
        yield "the series resistor", net.series_ohm, between


def _near(one: float | None, two: float) -> bool:
    return one is not None and abs(one - two) < 0.05


def _unsaid(resistor: PlacedResistor, board: Board, own: Mapping[str, str]) -> str:
    """Return what the board file lacks of a resistor on its connectors' nets, empty for nothing."""
    one, two = resistor.nets
    for net, other in ((one, two), (two, one)):
        if net in own and resistor.pull_from(net) is not None:
            way = "pull-down" if volts(other) == 0.0 else f"pull-up to {other}"
            name = resistor.listed.reference
            return (
                f"{name}, {resistor.ohm:g} ohm, is a {way} of {own[net]}: the board file has none"
            )
    if one in own and two in own and resistor.ohm <= LINK_OHM:
        nets = board.nets[own[one]], board.nets[own[two]]
        joined = {nets[0].joined_to, nets[1].joined_to} & {it.name for it in nets}
        meet = all(it.is_ground for it in nets) and (joined or board.chip)
        if not meet:
            name = resistor.listed.reference
            return f"{name} links {own[one]} and {own[two]}: the board file does not"
    return ""
