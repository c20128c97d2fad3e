"""Where on a mainboard, or behind its cable, a part of a claimed pin could be plugged in."""

from collections.abc import Iterator, Mapping

from attrs import define, evolve, field

from pincheck.chips import canonical
from pincheck.model.wiring import Board, Connector, Part

Seat = tuple[str, tuple[int, ...]]
"""A connector's name, and its pin (from 1) for each terminal of a part."""


@define
class FreeSockets:
    """A mainboard's connectors, each pin of which takes one part.

    Those of a breakout are among them after `through`, under their own names and with the nets of
    the mainboard that they lead to; they come first.
    """

    board: Board
    _taken: set[tuple[str, int]] = field(factory=set)

    def seat(self, part: Part, lines: Mapping[str, str], ground_side: bool) -> Seat | None:
        """Return the smallest connector with a free pin for every terminal, and hold those pins.

        `lines` are the chip pins behind the terminals that the firmware drives or reads, by what
        the terminal wants (`any`, `signal`, `control` ...). The other `any` goes to ground
        (`ground_side`) or to the supply.
        """
        far = {name for name in self.board.connectors if "." in name}
        by_size = sorted(
            self.board.connectors.values(), key=lambda it: (it.name not in far, len(it.pins))
        )
        for connector in by_size:
            pins = self._pins(connector, part, lines, ground_side)
            if pins:
                self._taken.update((connector.name, pin) for pin in pins)
                return connector.name, pins
        return None

    def carrying(self, pin: str) -> str:
        """Return the first connector with a net of a chip pin; empty where there is none."""
        nets = set(self.behind(pin))
        found = (it.name for it in self.board.connectors.values() if nets.intersection(it.pins))
        return next(found, "")

    def _pins(
        self, connector: Connector, part: Part, lines: Mapping[str, str], ground_side: bool
    ) -> tuple[int, ...]:
        found: list[int] = []
        waiting = dict(lines)
        for wants in self._in_socket_order(connector, part, lines):
            line = waiting.pop(wants, "") if wants != "coil" else lines.get(wants, "")
            nets = set(self.behind(line)) if line else set(self._rails(wants, part, ground_side))
            free = (
                number
                for number, net in enumerate(connector.pins, 1)
                if net in nets and number not in found
                if (connector.name, number) not in self._taken
            )
            pin = next(free, None)
            if pin is None:
                return ()
            found.append(pin)
        return tuple(found)

    def _in_socket_order(
        self, connector: Connector, part: Part, lines: Mapping[str, str]
    ) -> tuple[str, ...]:
        """Return what the terminals want; of two-way ones the first meets pin 1, as plugs do."""
        if part.terminals != ("any", "any") or "any" not in lines:
            return part.terminals
        first = connector.pins[0] if connector.pins else ""
        return ("any", "any") if first in set(self.behind(lines["any"])) else ("rail", "any")

    def _rails(self, wants: str, part: Part, ground_side: bool) -> Iterator[str]:
        volts = part.rated_v or self.board.supply_v
        if wants == "ground" or (wants in ("any", "rail") and ground_side):
            volts = 0.0
        for net in self.board.nets.values():
            if net.supply_v == volts and net.switch is None:
                yield net.name

    def behind(self, pin: str) -> Iterator[str]:
        """Yield every net that a chip pin (or the motor driver of a step pin) reaches."""
        drivers = {
            name for name, it in self.board.drivers.items() if self.canonical(it.step_pin) == pin
        }
        reached = [
            net.name
            for net in self.board.nets.values()
            if (net.chip_pin and self.canonical(net.chip_pin) == pin) or net.driver in drivers
        ]
        for name in reached:
            yield name
            reached += [
                net.name
                for net in self.board.nets.values()
                if net.driven_by == name and net.name not in reached
            ]

    def canonical(self, pin: str) -> str:
        """Return a pin as the chip's data spell it."""
        return canonical(self.board.chip, pin)


def cables(board: Board, tool: Board) -> Iterator[tuple[str, str]]:
    """Yield each pair of connectors that a straight cable could join: as many pins on both ends.

    The breakout's is its largest, through which it is fed.
    """
    link = max(tool.connectors.values(), key=lambda it: len(it.pins), default=None)
    if link:
        for connector in board.connectors.values():
            if len(connector.pins) == len(link.pins):
                yield connector.name, link.name


def through(board: Board, tool: Board, cable: tuple[str, str]) -> Board:
    """Return the mainboard with the breakout's sockets, `tool.NAME`, in place of the cable's."""
    near, far = board.connectors[cable[0]].pins, tool.connectors[cable[1]].pins
    led = {net: own for net, own in zip(far, near, strict=True) if net and own}
    own = {name: it for name, it in board.connectors.items() if name != cable[0]}
    for name, it in tool.connectors.items():
        if name != cable[1]:
            pins = tuple(led.get(_towards_chip(tool, net, led), "") for net in it.pins)
            own[f"tool.{name}"] = evolve(it, name=f"tool.{name}", pins=pins)
    return evolve(board, connectors=own)


def _towards_chip(tool: Board, net: str, led: Mapping[str, str]) -> str:
    """Return the net of the cable behind a net, through the breakout's own switches."""
    seen: set[str] = set()
    while net and net not in led and net not in seen:
        seen.add(net)
        net = tool.nets[net].driven_by
    return net
