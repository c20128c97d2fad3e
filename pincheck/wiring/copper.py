"""The copper of an assembly: nets of all boards, joined by cables pin by pin."""

from collections import defaultdict, deque
from collections.abc import Callable, Iterator

from attrs import field

from pincheck.model.claim import Place
from pincheck.model.frozen import frozen
from pincheck.model.wiring import Assembly, Cable, Fit, Net

Canonical = Callable[[str, str], str]
"""A chip's name and a pin as a board writes it, to the pin's canonical name."""

NetKey = tuple[str, str]
"""(board key, net name)."""

Node = tuple[NetKey, ...]
"""Every net that copper joins into one, whatever board it is on."""


@frozen
class Crossing:
    """One net's passage over one cable, with the pins it takes in parallel at either end."""

    to: NetKey
    cable: Cable
    from_connector: tuple[str, str]
    from_pins: tuple[int, ...]
    to_connector: tuple[str, str]
    to_pins: tuple[int, ...]


@frozen
class Drive:
    """A chip pin or motor driver behind a node.

    `links` are the nets that a switch, divider or resistor leads into, from the chip outwards:
    the first one is at the chip or driver, the last one in the node itself.
    """

    links: tuple[NetKey, ...]
    place: Place | None = None
    driver: tuple[str, str] | None = field(default=None)


class Copper:
    """All nets of an assembly and how they hang together."""

    def __init__(self, assembly: Assembly, canonical: Canonical | None = None) -> None:
        self.assembly = assembly
        self._canonical = canonical or (lambda _, pin: pin)
        self._crossings = _crossings(assembly)
        self._nodes: dict[NetKey, Node] = {}
        self._ends: dict[NetKey, list[tuple[Fit, int]]] = defaultdict(list)
        for fit in assembly.fits:
            for terminal, wants in enumerate(fit.part.terminals):
                key = self.at_terminal(fit, terminal)
                if wants and key:
                    self._ends[key].append((fit, terminal))
        self._open: dict[NetKey, list[tuple[str, str, int]]] = defaultdict(list)
        for cable in assembly.cables:
            for here, there in cable.pairs:
                sides = ((cable.from_, here), (cable.to, there))
                for near, far in (sides, sides[::-1]):
                    key = self.at_pin(*near)
                    if key and self.at_pin(*far) is None:
                        self._open[key].append((*far[0], far[1]))

    def net(self, key: NetKey) -> Net:
        """Return the net of a key."""
        return self.assembly.boards[key[0]].nets[key[1]]

    def nets(self) -> Iterator[NetKey]:
        """Yield every net of every board."""
        for board, it in self.assembly.boards.items():
            yield from ((board, name) for name in it.nets)

    def label(self, board: str) -> str:
        """Return a board's title, with its key where two boards share the title."""
        title = self.assembly.boards[board].title or board
        same = sum(other.title == title for other in self.assembly.boards.values())
        return f"{title} ({board})" if same > 1 else title

    def at_pin(self, connector: tuple[str, str], pin: int) -> NetKey | None:
        """Return the net at a connector's pin (from 1), None where it is not connected."""
        board, name = connector
        pins = self.assembly.boards[board].connectors[name].pins
        net = pins[pin - 1] if 1 <= pin <= len(pins) else ""
        return (board, net) if net else None

    def at_terminal(self, fit: Fit, terminal: int) -> NetKey | None:
        """Return the net that a terminal of a fitted part meets."""
        if fit.connector is None or terminal >= len(fit.pins):
            return None
        return self.at_pin(fit.connector, fit.pins[terminal])

    def socket(self, fit: Fit, terminal: int) -> str:
        """Return in words the pin that a wired part's terminal is plugged on."""
        assert fit.connector is not None
        board, connector = fit.connector
        pin = f"{connector} {fit.pins[terminal]}" if terminal < len(fit.pins) else connector
        return f"{pin} of {self.label(board)}"

    def node(self, key: NetKey) -> Node:
        """Return everything that copper alone joins to a net, the net itself included."""
        if key not in self._nodes:
            joined = {key: None}
            waiting = deque(joined)
            while waiting:
                for crossing in self._crossings[waiting.popleft()]:
                    if crossing.to not in joined:
                        joined[crossing.to] = None
                        waiting.append(crossing.to)
            # One order for all members, so that a node is equal whichever net asks for it.
            node = tuple(sorted(joined))
            self._nodes.update(dict.fromkeys(node, node))
        return self._nodes[key]

    def nodes(self) -> Iterator[Node]:
        """Yield every node once."""
        yield from dict.fromkeys(map(self.node, self.nets()))

    def route(self, start: NetKey, end: NetKey) -> tuple[Crossing, ...]:
        """Return the crossings of the shortest route from one net of a node to another."""
        before: dict[NetKey, tuple[NetKey, Crossing] | None] = {start: None}
        waiting = deque(before)
        while waiting and end not in before:
            here = waiting.popleft()
            for crossing in self._crossings[here]:
                if crossing.to not in before:
                    before[crossing.to] = (here, crossing)
                    waiting.append(crossing.to)
        crossings: list[Crossing] = []
        step = before.get(end)
        while step:
            crossings.append(step[1])
            step = before[step[0]]
        return tuple(reversed(crossings))

    def feeds(self, node: Node) -> tuple[NetKey, ...]:
        """Return the rails in a node that their boards feed."""
        return tuple(key for key in node if self.is_rail(key) and self.net(key).fed_here)

    def rails(self, node: Node) -> tuple[NetKey, ...]:
        """Return every rail in a node, fed or only named as one."""
        return tuple(filter(self.is_rail, node))

    def is_rail(self, key: NetKey) -> bool:
        """Whether a net is a rail; the output of a high-side switch is none."""
        return self.net(key).is_rail and self.net(key).switch is None

    def volts(self, key: NetKey | None) -> float | None:
        """Return the voltage that is fed to a net, None where none is or where two fight."""
        if key is None:
            return None
        volts = {self.net(feed).supply_v for feed in self.feeds(self.node(key))}
        return volts.pop() if len(volts) == 1 else None

    def drives(self, node: Node, seen: set[NetKey] | None = None) -> Iterator[Drive]:
        """Yield every chip pin and motor driver that a node hangs on, each by one route."""
        seen = set() if seen is None else seen
        for key in node:
            net = self.net(key)
            if key in seen:
                continue
            seen.add(key)
            if net.chip_pin:
                yield Drive((key,), place=self.place(key[0], net.chip_pin))
            if net.driver:
                yield Drive((key,), driver=(key[0], net.driver))
            if net.driven_by:
                for drive in self.drives(self.node((key[0], net.driven_by)), seen):
                    yield Drive((*drive.links, key), drive.place, drive.driver)

    def place(self, board: str, pin: str) -> Place:
        """Return a chip pin as the board writes it under its canonical name."""
        return Place(board, self._canonical(self.assembly.boards[board].chip, pin))

    def open_ends(self, node: Node) -> Iterator[tuple[str, str, int]]:
        """Yield where cables lead from a node to a pin that is not connected."""
        for key in node:
            yield from self._open[key]

    def ends(self, node: Node) -> Iterator[tuple[Fit, int]]:
        """Yield every terminal of a fitted part in a node, as (fit, number from 0)."""
        for key in node:
            yield from self._ends[key]


def _crossings(assembly: Assembly) -> dict[NetKey, list[Crossing]]:
    found: dict[NetKey, list[Crossing]] = defaultdict(list)
    for cable in assembly.cables:
        near = assembly.boards[cable.from_[0]].connectors[cable.from_[1]].pins
        far = assembly.boards[cable.to[0]].connectors[cable.to[1]].pins
        pins: dict[tuple[str, str], list[tuple[int, int]]] = defaultdict(list)
        for here, there in cable.pairs:
            if near[here - 1] and far[there - 1]:
                pins[near[here - 1], far[there - 1]].append((here, there))
        for (net, other), pairs in pins.items():
            first, second = (cable.from_[0], net), (cable.to[0], other)
            one, two = (tuple(side) for side in zip(*pairs, strict=True))
            found[first].append(Crossing(second, cable, cable.from_, one, cable.to, two))
            found[second].append(Crossing(first, cable, cable.to, two, cable.from_, one))
    return found
