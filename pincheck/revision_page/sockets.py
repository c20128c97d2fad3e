"""The connectors of a page: drawn, and pin by pin what they carry and what for."""

from collections.abc import Iterator

from markupsafe import Markup

from pincheck.analysis import roles
from pincheck.html import draw_connector
from pincheck.model.frozen import frozen
from pincheck.model.path import Trace
from pincheck.model.wiring import Assembly, Board, Connector
from pincheck.wiring.plugs import ConnectorKey


@frozen
class PinRow:
    """One pin: its net, what that is, and the roles that it serves, all in words."""

    number: int
    net: str
    what: str
    serves: str


@frozen
class SocketSheet:
    """One connector of the page."""

    name: str
    drawing: Markup
    part: str
    pins: tuple[PinRow, ...]


@frozen
class BoardSheet:
    """One board: its connectors that are in use, and its ratings as (what, figure)."""

    key: str
    title: str
    sockets: tuple[SocketSheet, ...]
    ratings: tuple[tuple[str, str], ...]
    first: bool
    """Whether the revision is about it: its tables of pins are open."""


def board_sheets(assembly: Assembly, trace: Trace) -> Iterator[BoardSheet]:
    """Yield every board, the main one last: it is the others that a revision is about."""
    serves = _serves(trace)
    for key, board in sorted(assembly.boards.items(), key=lambda it: it[0] == assembly.main):
        sockets = tuple(
            _socket(assembly, board, (key, name), connector, serves)
            for name, connector in board.connectors.items()
        )
        yield BoardSheet(key, board.title, sockets, tuple(_ratings(board)), key != assembly.main)


def _serves(trace: Trace) -> dict[tuple[str, str, int], list[str]]:
    found: dict[tuple[str, str, int], list[str]] = {}
    for wired in trace.wired:
        for way in (wired.path, wired.supply):
            for contact in way.contacts if way else ():
                for pin in contact.pins:
                    names = found.setdefault((contact.board, contact.connector, pin), [])
                    if roles.name(wired.role) not in names:
                        names.append(roles.name(wired.role))
    return found


def _socket(
    assembly: Assembly,
    board: Board,
    at: ConnectorKey,
    connector: Connector,
    serves: dict[tuple[str, str, int], list[str]],
) -> SocketSheet:
    parts = [
        f"{roles.name(fit.role)}: {fit.part.title or fit.part.id}"
        for fit in assembly.fits
        if fit.connector == at
    ]
    parts += [
        f"cable to {'.'.join(end)}"
        for cable in assembly.cables
        for own, end in ((cable.from_, cable.to), (cable.to, cable.from_))
        if own == at
    ]
    rows = tuple(
        PinRow(number, net, _what(board, net), ", ".join(serves.get((*at, number), ())))
        for number, net in enumerate(connector.pins, 1)
    )
    return SocketSheet(at[1], draw_connector(connector, board.nets), "; ".join(parts), rows)


def _what(board: Board, name: str) -> str:
    net = board.nets.get(name)
    if net is None:
        return ""
    if net.is_ground:
        return "ground"
    if net.is_rail:
        return f"supply, {net.supply_v:g} V"
    if net.chip_pin:
        return f"chip pin {net.chip_pin}"
    if net.driver:
        return f"motor driver {net.driver}"
    return f"from {net.driven_by}" if net.driven_by else ""


def _ratings(board: Board) -> Iterator[tuple[str, str]]:
    if board.supply_v:
        most = f", at most {board.supply_max_a:g} A" if board.supply_max_a else ""
        yield "supply", f"{board.supply_v:g} V{most}"
    for net in board.nets.values():
        if net.switch:
            most = f"at most {net.switch.max_a:g} A, " if net.switch.max_a else ""
            on = f", {net.switch.rds_on_mohm:g} mohm" if net.switch.rds_on_mohm else ""
            yield f"switch of {net.name}", f"{most}{net.switch.side} side{on}"
        if net.fuse_a:
            yield f"fuse of {net.name}", f"{net.fuse_a:g} A"
        if net.max_a and not net.switch:
            yield f"net {net.name}", f"at most {net.max_a:g} A"
        if net.pullup:
            yield f"pull-up of {net.name}", f"{net.pullup.ohm:g} ohm to {net.pullup.to_v:g} V"
    for driver in board.drivers.values():
        if driver.max_a:
            yield f"motor driver {driver.name}", f"at most {driver.max_a:g} A"
