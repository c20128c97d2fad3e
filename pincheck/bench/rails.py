"""Where a voltage is measured so that no probe bridges anything, and the rails measured there."""

from collections.abc import Iterator, Sequence
from functools import partial

from pincheck.analysis.meter import Meter, Pin, Reading
from pincheck.bench.step import TestPoint, WalkStep
from pincheck.model.finding import Number
from pincheck.wiring.copper import Copper, NetKey

SOLVED = "the circuit solved, its ends over tolerances, wires and contacts"
"""How a voltage that is expected comes about."""

_CLIP = (
    "With the power off clip both probes on, so that none slips: pins of another net stand close "
    "by. Then switch on, hands clear, and read."
)
_TOUCH = "Switch on, hands clear of all else, and measure between the two pins."
_SAFE_MM = 5.0
"""From this pitch on a probe's tip does not bridge two pins (`common practice`)."""


def rails(copper: Copper, meter: Meter) -> Iterator[WalkStep]:
    """Yield each rail once, on the board farthest from the chip that has it beside a ground."""
    seen = set()
    boards = copper.assembly.boards
    for board in sorted(boards, key=lambda key: (bool(boards[key].chip), key)):
        if boards[board].mains:
            continue  # measured where no mains is near
        pins: dict[NetKey, list[Pin]] = {}
        for name, connector in boards[board].connectors.items():
            for pin in range(1, len(connector.pins) + 1):
                if key := copper.at_pin((board, name), pin):
                    pins.setdefault(key, []).append((board, name, pin))
        grounds = [key for key in pins if copper.net(key).is_ground]
        ground = max(grounds, key=lambda key: len(pins[key]), default=None)
        for key in pins:
            if ground is None or not copper.volts(key) or copper.node(key) in seen:
                continue
            ends = [min(pins[it], key=partial(_risk, copper)) for it in (key, ground)]
            reading = meter.volts(ends[0], ends[1])
            if reading is None or reading.low <= 0.0:
                continue
            seen.add(copper.node(key))
            yield _rail(copper, key, ends, reading)


def _risk(copper: Copper, pin: Pin) -> tuple[bool, float, float]:
    """Return how easily a probe on a pin would bridge it to a voltage: least is best."""
    connector = copper.assembly.boards[pin[0]].connectors[pin[1]]
    own, pitch = copper.at_pin(pin[:2], pin[2]), connector.pitch_mm or 2.54
    node, own_v = (copper.node(own), copper.volts(own)) if own else ((), None)
    keys = [copper.at_pin(pin[:2], number) for number in range(1, len(connector.pins) + 1)]
    others = {
        n: copper.volts(key) or 0.0 for n, key in enumerate(keys, 1) if key not in (*node, None)
    }
    aside = (1,) if (connector.rows or 1) == 1 else (1, 2)
    near = [n for by in aside for n in (pin[2] - by, pin[2] + by) if n in others]
    bridges = pitch < _SAFE_MM and any(own_v or others[n] for n in near)
    return bridges, max(map(abs, others.values()), default=0.0), -pitch


def _rail(copper: Copper, key: NetKey, ends: Sequence[Pin], reading: Reading) -> WalkStep:
    points = tuple(point(copper, end) for end in ends)
    return WalkStep(
        id=f"{key[0]}.{key[1]} voltage",
        power="on",
        role="",
        title=f"{key[1]} of {copper.label(key[0])}, voltage",
        do=how(copper, ends),
        points=points,
        unit="V",
        low=reading.low,
        high=reading.high,
        numbers=(Number("rail", reading.nominal, "V", SOLVED),),
        too_low="a weak or overloaded supply, or a bad contact: switch off",
        too_high="the supply is set too high, or the wrong rail is on the pin: switch off",
    )


def how(copper: Copper, ends: Sequence[Pin]) -> str:
    """Return how to put the probes on two pins."""
    return _CLIP if any(_risk(copper, end)[0] for end in ends) else _TOUCH


def point(copper: Copper, pin: Pin) -> TestPoint:
    """Return a pin as the place of a probe."""
    key = copper.at_pin(pin[:2], pin[2])
    return TestPoint(copper.label(pin[0]), pin[1], (pin[2],), key[1] if key else "not connected")
