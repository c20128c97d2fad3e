"""Where a part can be measured: one plug to pull, and the pins that lead to its terminals."""

from collections.abc import Sequence

from pincheck.bench.step import TestPoint
from pincheck.model.finding import Input
from pincheck.model.frozen import frozen
from pincheck.model.path import Wired
from pincheck.model.wiring import Wire
from pincheck.physics.conductor import wire_ohm_m
from pincheck.wiring.copper import Copper

LEADS_OHM = 0.5
"""What meter leads and contacts add at most (`common practice`)."""


@frozen
class Plug:
    """The plug to pull from its board, a point for each terminal, and the wires behind it."""

    board: str
    connector: str
    points: tuple[TestPoint, ...]
    wires_ohm: float

    @property
    def pull(self) -> str:
        """What to do first."""
        return f"Pull the plug {self.connector} off {self.board} and measure on the plug"

    def inputs(self) -> tuple[Input, ...]:
        """Return what the way to the part adds."""
        return (
            Input("wires out and back", round(self.wires_ohm, 3), "ohm", "wires of the wiring"),
            Input("leads and contacts, at most", LEADS_OHM, "ohm", "common practice"),
        )


def plug(copper: Copper, wired: Wired) -> Plug | None:
    """Return the plug nearest to the chip that leads to every terminal of a part.

    So the whole way through cable and breakout is measured with the part. None for a part
    without terminals.
    """
    fit = wired.fit
    if fit.connector is None or not fit.pins:
        return None
    nets = [copper.at_terminal(fit, terminal) for terminal in range(len(fit.pins))]
    for contact in wired.path.contacts[:-1]:
        place = contact.board, contact.connector
        pins = [_pins_at(copper, place, net) for net in nets]
        if all(pins):
            return _made(copper, place, pins, _far_ohm(wired))
    own = [(pin,) for pin in fit.pins]
    wires = () if fit.wire is None else (fit.wire, fit.wire)
    return _made(copper, fit.connector, own, sum(map(_ohm, wires)))


def _made(
    copper: Copper, place: tuple[str, str], pins: Sequence[tuple[int, ...]], wires_ohm: float
) -> Plug:
    board = copper.label(place[0])
    points = []
    for same in pins:
        net = copper.at_pin(place, same[0])
        points.append(TestPoint(board, place[1], same, net[1] if net else "not connected"))
    return Plug(board, place[1], tuple(points), wires_ohm)


def _pins_at(
    copper: Copper, place: tuple[str, str], net: tuple[str, str] | None
) -> tuple[int, ...]:
    if net is None:
        return ()
    node = copper.node(net)
    count = len(copper.assembly.boards[place[0]].connectors[place[1]].pins)
    return tuple(pin for pin in range(1, count + 1) if copper.at_pin(place, pin) in node)


def _far_ohm(wired: Wired) -> float:
    out = _path_ohm(wired.path.wires, wired.path.in_parallel)
    back = _path_ohm(wired.supply.wires, wired.supply.in_parallel) if wired.supply else out
    return out + back


def _path_ohm(wires: Sequence[Wire], in_parallel: Sequence[int]) -> float:
    shared = (*in_parallel, *(1,) * (len(wires) - len(in_parallel)))
    return sum(_ohm(wire) / max(count, 1) for wire, count in zip(wires, shared, strict=True))


def _ohm(wire: Wire) -> float:
    return wire_ohm_m(wire.awg) * wire.length_m
