"""What wires do to a sensor: the ground that currents lift, and the leads in series with it."""

from pincheck.analysis.board_supply import runs
from pincheck.analysis.case import Case
from pincheck.analysis.currents import everything_on, solved, without_each
from pincheck.analysis.sensor_chain import Chain
from pincheck.chips import canonical
from pincheck.circuit import AT_REST, Band, Node
from pincheck.circuit.bands import most_volts, volts_band
from pincheck.model.claim import Place
from pincheck.model.frozen import frozen
from pincheck.model.path import Wired
from pincheck.physics.divider import Divider

_NOTHING_V = 1e-4
"""Moves no sensor by half a kelvin: 3.3 V over 4.7 k and an NTC of 100 k at 300 C are 55 mV, which
fall by 0.9 mV in each kelvin."""

_SHARE = 0.1
"""Of the lift: who makes less of it is not named."""


@frozen
class Lift:
    """The sensor's far end over the ground that its converter reads against, in V, with all on.

    `by` are those whose currents make it, the most first, with the volts that each adds.
    """

    volts: Band
    by: tuple[tuple[Wired, float], ...]


def lift(case: Case, found: Chain) -> Lift | None:
    """Return how far the ground of a sensor on a pull-up lifts, None for not at all or unknown.

    An amplifier measures between both wires of its sensor and sees none of it.
    """
    wired, solution = found.wired, everything_on(case)
    rest = solved(case, AT_REST)
    if (
        solution is None
        or rest is None
        or wired.place is None
        or not isinstance(found.divider, Divider)
        or not runs(case, wired.place.board)
    ):
        return None
    part = case.circuit.network.elements.get(("part", wired.fit.name))
    star = Node("star", wired.place.board)
    if part is None or rest.volts(part.one) is None or rest.volts(star) is None:
        return None
    far = min(part.one, part.two, key=lambda node: rest.volts(node) or 0.0)
    if most_volts(solution, far, star) < _NOTHING_V:
        return None
    volts = volts_band(solution, far, star)
    if volts is None:
        return None
    by = []
    for other, less in without_each(case, solution):
        without = less.volts_between(far, star)
        if without is not None and volts.nominal - without > _SHARE * abs(volts.nominal):
            by.append((other, volts.nominal - without))
    return Lift(volts, tuple(sorted(by, key=lambda it: -it[1])))


def leads_ohm(case: Case, found: Chain) -> float | None:
    """Return the resistance of a sensor's wires and contacts, out and back, with all else at rest.

    None where nobody knows. Two-wire platinum sensors read warmer by it.
    """
    wired = found.wired
    part = case.circuit.network.elements.get(("part", wired.fit.name))
    name = net_at(case, wired.place) if wired.place else ""
    if part is None or not wired.place or not name:
        return None
    pulls = (("pull", wired.place.board, name, way) for way in ("pullup", "bias"))
    at = next(filter(None, map(case.circuit.network.elements.get, pulls)), None)
    rest, star = solved(case, AT_REST), Node("star", wired.place.board)
    flows = abs(rest.current_a(part.key)) if rest else 0.0
    if at is None or rest is None or not flows:
        return None
    plus, minus = sorted((part.one, part.two), key=lambda node: -(rest.volts(node) or 0.0))
    back = rest.between_ohm(minus, star)
    out = abs(rest.volts_between(at.two, plus)) / flows
    return out + back if back is not None else None


def net_at(case: Case, place: Place) -> str:
    """Return the net of a chip's pin, empty where the board has none there."""
    board = case.assembly.boards[place.board]
    nets = board.nets.items()
    return next(
        (n for n, it in nets if it.chip_pin and canonical(board.chip, it.chip_pin) == place.pin), ""
    )


def shown_c(found: Chain, true_c: float, lifted_v: float) -> float | None:
    """Return what the firmware shows while the sensor's far end is lifted, None off its curve.

    Superposition: the pull-up's share of the lift is added at the converter.
    """
    assert isinstance(found.divider, Divider)
    divider, pulls = found.divider, found.wired.path.pullups
    pull_v = sum(p.to_v / p.ohm for p in pulls) / sum(1 / p.ohm for p in pulls)
    share = divider.fraction(found.curve.ohm(true_c)) / divider.scale
    lifted = share + lifted_v / pull_v * (1.0 - share)
    return found.shown_c(divider.ohm_at(min(max(lifted * divider.scale, 0.0), 1.0)))
