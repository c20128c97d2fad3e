"""A netlist against a board file: every difference, with its place in both."""

from collections import Counter
from collections.abc import Iterator, Mapping
from itertools import zip_longest

from pincheck.model.frozen import frozen
from pincheck.model.source import Span
from pincheck.model.wiring import Board, Connector
from pincheck.netlist.points import Netlist, named
from pincheck.netlist.resistors import bare, volts
from pincheck.netlist.sockets import LaidOut, laid_out

_ALIKE = 0.5
"""A part counts as a connector of the board file when so many of its pins have the same nets."""


@frozen
class BoardDifference:
    """What netlist and board file do not say alike; a place is None where one is silent."""

    message: str
    board_at: Span | None = None
    netlist_at: Span | None = None


@frozen
class Compared:
    """What a comparison found; `partners` is each board net's name in the netlist.

    `taken` are connectors told by their nets alone, `renamed` nets of the same pins and two names.
    """

    differences: tuple[BoardDifference, ...]
    partners: Mapping[str, str]
    pins: int
    taken: tuple[str, ...] = ()
    renamed: tuple[str, ...] = ()


def compare(netlist: Netlist, board: Board, names: Mapping[str, str]) -> Compared:
    """Return the differences of connectors, pins and nets; `names` are connectors by reference."""
    sockets = [laid_out(netlist, it) for it in netlist.sockets(names)]
    sockets = [it for it in sockets if any(it.pins)]
    pairs, taken = _paired(board, sockets, names)
    found = list(_unpaired(board, sockets, pairs))
    partners = _partners(board, pairs)
    count = 0
    for name, socket in pairs.items():
        connector = board.connectors[name]
        count += sum(map(bool, connector.pins))
        found += _pins(connector, socket, partners)
        found += _housing(connector, socket)
    found += _volts(board, partners, netlist)
    renamed = tuple(
        f"{theirs} is {own} in the board file"
        for own, theirs in partners.items()
        if _fold(own) != _fold(theirs)
    )
    return Compared(tuple(found), partners, count, tuple(taken), renamed)


def _paired(
    board: Board, sockets: list[LaidOut], names: Mapping[str, str]
) -> tuple[dict[str, LaidOut], list[str]]:
    """Return by the board's connector the one of the netlist, and those told by their nets."""
    by_reference = {it.reference: it for it in sockets}
    pairs: dict[str, LaidOut] = {}
    for name, connector in board.connectors.items():
        stated = next((ref for ref, to in names.items() if to == name), connector.reference)
        known = stated or next((r for r in by_reference if r.casefold() == name.casefold()), "")
        if known in by_reference:
            pairs[name] = by_reference[known]
    likeness = {
        (name, it.reference): _likeness(connector, it)
        for name, connector in board.connectors.items()
        if name not in pairs and not connector.reference
        for it in sockets
        if it not in pairs.values()
    }
    taken = []
    # The most alike first, so that none is taken from the one that it is alike to the letter.
    for (name, reference), alike in sorted(likeness.items(), key=lambda it: -it[1]):
        socket = by_reference[reference]
        if alike < _ALIKE or name in pairs or socket in pairs.values():
            continue
        rivals = [
            by_reference[r] for (n, r), score in likeness.items() if n == name and score == alike
        ]
        # Sockets that are alike pin by pin may stand for each other.
        if all(it.pins == socket.pins for it in rivals if it not in pairs.values()):
            pairs[name] = socket
            taken.append(f"{reference} for {name}")
    return pairs, taken


def _likeness(connector: Connector, socket: LaidOut) -> float:
    both = list(zip_longest(connector.pins, socket.pins, fillvalue=""))
    return sum(_fold(own) == _fold(theirs) for own, theirs in both) / len(both)


def _unpaired(
    board: Board, sockets: list[LaidOut], pairs: Mapping[str, LaidOut]
) -> Iterator[BoardDifference]:
    for name, connector in board.connectors.items():
        if name not in pairs:
            what = (
                f"{connector.reference} is no connector of it"
                if connector.reference
                else ("no part of it has these nets: name it with --connector J1=" + name)
            )
            yield BoardDifference(f"connector {name} is not in the netlist: {what}", connector.at)
    for socket in sockets:
        if socket not in pairs.values():
            nets = ", ".join(dict.fromkeys(filter(None, socket.pins)))
            first = next(iter(socket.points.values()))
            message = f"{socket.reference} ({nets}) is no connector of the board file"
            yield BoardDifference(message, None, first.span)


def _partners(board: Board, pairs: Mapping[str, LaidOut]) -> dict[str, str]:
    """Return for each net of the board that of the netlist: of its name, else of its pins."""
    met: dict[str, Counter[str]] = {}
    for name, socket in pairs.items():
        for own, theirs in zip(board.connectors[name].pins, socket.pins, strict=False):
            if own:
                met.setdefault(own, Counter())[theirs] += 1
    known = {net for socket in pairs.values() for net in socket.pins if net}
    partners: dict[str, str] = {}
    for own in met:
        same = [net for net in known if _fold(net) == _fold(own)]
        if same:
            partners[own] = own if own in same else max(same, key=lambda net: met[own][net])
    spoken_for = {_fold(own) for own in met}
    for own, counts in met.items():
        for theirs, _ in counts.most_common():
            free = theirs and theirs not in partners.values() and _fold(theirs) not in spoken_for
            if own not in partners and free:
                partners[own] = theirs
    return partners


def _pins(
    connector: Connector, socket: LaidOut, partners: Mapping[str, str]
) -> Iterator[BoardDifference]:
    both = zip_longest(connector.pins, socket.pins, fillvalue="")
    for number, (own, theirs) in enumerate(both, 1):
        if (partners.get(own, own) if own else "") == theirs:
            continue
        point = socket.points.get(number)
        spans = connector.pin_spans
        message = (
            f"pin {number} of {connector.name} ({socket.reference}) is on {named(own)} in the "
            f"board file, on {named(theirs)} in the netlist"
        )
        own_at = spans[number - 1] if number <= len(spans) else connector.at
        yield BoardDifference(message, own_at, point.span if point else None)


def _housing(connector: Connector, socket: LaidOut) -> Iterator[BoardDifference]:
    """Yield rows, numbering and pitch that the places of the pins contradict."""
    first = next(iter(socket.points.values()), None)
    said = []
    if socket.rows and socket.rows != connector.rows:
        said.append(f"{connector.rows} rows in the board file, {socket.rows} in the netlist")
    elif socket.numbering and socket.numbering != connector.numbering:
        said.append(f"numbered {connector.numbering} in the board file, {socket.numbering} there")
    if socket.pitch_mm and connector.pitch_mm and abs(socket.pitch_mm - connector.pitch_mm) > 0.1:
        said.append(f"{connector.pitch_mm:g} mm pitch in the board file, {socket.pitch_mm:g} there")
    for text in said:
        message = f"{connector.name} ({socket.reference}): {text}"
        yield BoardDifference(message, connector.at, first.span if first else None)


def _volts(
    board: Board, partners: Mapping[str, str], netlist: Netlist
) -> Iterator[BoardDifference]:
    for own, theirs in partners.items():
        stated, promised = board.nets[own].supply_v, volts(theirs)
        if stated is not None and promised is not None and abs(stated - promised) > 0.01:
            message = (
                f"net {own} carries {stated:g} V in the board file; its name in the netlist, "
                f"{theirs}, says {promised:g} V"
            )
            yield BoardDifference(message, board.nets[own].at, netlist.nets[theirs][0].span)


def _fold(net: str) -> str:
    """Return a net's name as it is compared: sheet, letter case and a plus before volts aside."""
    return bare(net).casefold().lstrip("+")
