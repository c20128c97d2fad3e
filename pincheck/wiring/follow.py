"""The other way round: from a chip pin or a connector's pin to all that hangs on it."""

from collections import deque
from collections.abc import Iterable, Iterator

from attrs import frozen

from pincheck.model.claim import Place
from pincheck.model.wiring import Assembly, Fit
from pincheck.wiring.copper import Canonical, Copper, NetKey, Node


@frozen
class Pin:
    """One pin of one connector, from 1."""

    board: str
    connector: str
    pin: int


@frozen
class Reached:
    """Everything connected with one place.

    `terminals` are (fit, number of the part's terminal from 0). `places` are chip pins, those of
    motor drivers included.
    """

    nets: tuple[NetKey, ...] = ()
    pins: tuple[Pin, ...] = ()
    terminals: tuple[tuple[Fit, int], ...] = ()
    places: tuple[Place, ...] = ()


def follow(assembly: Assembly, place: Place, canonical: Canonical | None = None) -> Reached:
    """Return what a chip pin reaches, through switches, dividers, drivers and cables."""
    copper = Copper(assembly, canonical)
    starts = [key for key in copper.nets() if place in _chip_places(copper, key)]
    return _reached(copper, _outwards(copper, starts), (place,))


def follow_pin(
    assembly: Assembly, board: str, connector: str, pin: int, canonical: Canonical | None = None
) -> Reached:
    """Return what a connector's pin (from 1) is connected with, chip pins included.

    Raises:
        KeyError: there is no such board or connector.
    """
    copper = Copper(assembly, canonical)
    key = copper.at_pin((board, connector), pin)
    if key is None:
        return Reached(pins=(Pin(board, connector, pin),))
    places = (
        place
        for drive in copper.drives(copper.node(key))
        for place in _chip_places(copper, drive.links[0])
    )
    return _reached(copper, _outwards(copper, [key]), tuple(dict.fromkeys(places)))


def _chip_places(copper: Copper, key: NetKey) -> Iterator[Place]:
    net = copper.net(key)
    if net.chip_pin:
        yield copper.place(key[0], net.chip_pin)
    driver = copper.assembly.boards[key[0]].drivers.get(net.driver)
    if driver:
        pins = (driver.step_pin, driver.dir_pin, driver.enable_pin)
        yield from (copper.place(key[0], pin) for pin in pins if pin)


def _outwards(copper: Copper, starts: Iterable[NetKey]) -> tuple[Node, ...]:
    nodes = dict.fromkeys(map(copper.node, starts))
    waiting = deque(nodes)
    while waiting:
        for key in waiting.popleft():
            for node in map(copper.node, copper.driven(key)):
                if node not in nodes:
                    nodes[node] = None
                    waiting.append(node)
    return tuple(nodes)


def _reached(copper: Copper, nodes: tuple[Node, ...], places: tuple[Place, ...]) -> Reached:
    nets = tuple(key for node in nodes for key in node)
    inside = set(nets)
    pins = (
        Pin(board, connector.name, number)
        for board, it in copper.assembly.boards.items()
        for connector in it.connectors.values()
        for number, net in enumerate(connector.pins, 1)
        if (board, net) in inside
    )
    ends = (end for node in nodes for end in copper.ends(node))
    return Reached(nets, tuple(pins), tuple(ends), places)
