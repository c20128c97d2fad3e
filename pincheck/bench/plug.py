"""Where a part can be measured: one plug to pull, and the pins that lead to its terminals."""

from collections.abc import Sequence

from pincheck.analysis.meter import Pin
from pincheck.bench.step import TestPoint
from pincheck.model.frozen import frozen
from pincheck.model.path import Wired
from pincheck.wiring.copper import Copper


@frozen
class Plug:
    """The plug to pull from its board, by (board key, connector), and a point for each terminal."""

    at: tuple[str, str]
    points: tuple[TestPoint, ...]

    @property
    def pull(self) -> str:
        """What to do first."""
        return f"Pull the plug {self.at[1]} off {self.points[0].board} and measure on the plug"

    def pin(self, terminal: int) -> Pin:
        """Return the first of the pins that lead to a terminal."""
        return *self.at, self.points[terminal].pins[0]


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
            return _made(copper, place, pins)
    own = [(pin,) for pin in fit.pins]
    return _made(copper, fit.connector, own)


def _made(copper: Copper, place: tuple[str, str], pins: Sequence[tuple[int, ...]]) -> Plug:
    board = copper.label(place[0])
    points = []
    for same in pins:
        net = copper.at_pin(place, same[0])
        points.append(TestPoint(board, place[1], same, net[1] if net else "not connected"))
    return Plug(place, tuple(points))


def _pins_at(
    copper: Copper, place: tuple[str, str], net: tuple[str, str] | None
) -> tuple[int, ...]:
    """Return the contacts of a plug that lead to a net."""
    node = copper.node(net) if net else ()
    found = set()
    for cable in copper.assembly.cables:
        for side, end in enumerate((cable.from_, cable.to)):
            found |= {pair[side] for pair in cable.pairs if end == place}
    return tuple(sorted(pin for pin in found if copper.at_pin(place, pin) in node))
