"""What is measured with the power off and the plugs pulled."""

from collections.abc import Callable, Iterator
from functools import partial

from attrs import evolve

from pincheck.analysis import roles
from pincheck.analysis.heater_element import resistance_ohm
from pincheck.analysis.sensor_chain import part_band
from pincheck.bench.plug import LEADS_OHM, Plug, plug
from pincheck.bench.step import TestPoint, WalkStep
from pincheck.model.finding import Input, Number
from pincheck.model.path import Wired
from pincheck.model.role import split
from pincheck.sensors import fitted
from pincheck.wiring.copper import Copper, NetKey

OPEN_OHM = 1e6
"""From here on two points count as not connected (`common practice`)."""

RAILS_OHM = 100.0
"""Less than this between two rails is a short; electronics show more (`common practice`)."""

ROOM_K = 3.0
"""How far a part that has stood for an hour may be from the room (`common practice`)."""

_HEATER_PCT, _COIL_PCT = 10.0, 15.0
"""Taken where the part gives no tolerance (`common practice`)."""

_CLOSED_OHM = 2.0


_HEATER = (
    "between the two pins.",
    "a stronger part, one for a lower voltage, or a short: do not power it",
    "a weaker part, a bad crimp, or a broken wire",
)
_SENSOR = (
    "between the two pins, with the part at room temperature.",
    "warmer than the room, another part, or a short",
    "colder than the room, another part, a bad crimp or a broken wire",
)
_COIL = (
    "between the two pins of one coil.",
    "another motor, or a short between windings",
    "the two pins belong to different coils, or a wire is broken",
)

_off = partial(WalkStep, power="off", unit="ohm")


def power_off(copper: Copper, trace: tuple[Wired, ...], room_c: float) -> Iterator[WalkStep]:
    """Yield the steps of everything fitted, in the order of the wiring, then the rails."""
    for wired in trace:
        found = plug(copper, wired)
        make = _BY_FUNCTION.get(split(wired.role)[2])
        if found and make:
            yield from make(wired, found, room_c)
        if found and wired.signal.output == "switch":
            yield from _switch(wired, found)
    yield from _apart(copper, trace)
    yield from _rails(copper)


def _resistance(
    wired: Wired, at: Plug, words: tuple[str, str, str], ends: tuple[float, float], number: Number
) -> WalkStep:
    """Return the step that measures a part, whose own resistance is `ends`, through its wires.

    `words` say how it is measured, and what a lower and a higher figure mean.
    """
    do, too_low, too_high = words
    return _off(
        id=f"{wired.role} resistance",
        role=wired.role,
        title=f"{roles.name(wired.role)}, resistance",
        do=f"{at.pull} {do}",
        points=at.points[:2],
        low=ends[0] + at.wires_ohm,
        high=ends[1] + at.wires_ohm + LEADS_OHM,
        numbers=(evolve(number, inputs=(*number.inputs, *at.inputs())),),
        too_low=too_low,
        too_high=too_high,
    )


def _heater(wired: Wired, at: Plug, _: float) -> Iterator[WalkStep]:
    ohm, part = resistance_ohm(wired), wired.part
    if ohm is None or len(at.points) < 2:
        return
    pct = part.tolerance_pct or _HEATER_PCT
    said = f"part {part.id}"
    inputs = Input("part", ohm, "ohm", said), Input("tolerance", pct, "%", said)
    formula = "part with its tolerance + wires + leads"
    number = Number("resistance", ohm + at.wires_ohm, "ohm", formula, inputs)
    yield _resistance(wired, at, _HEATER, _either_way(ohm, pct), number)


def _either_way(ohm: float, pct: float) -> tuple[float, float]:
    return ohm * (1 - pct / 100), ohm * (1 + pct / 100)


def sensor_ohms(wired: Wired, room_c: float) -> tuple[float, float] | None:
    """Return lowest and highest resistance of a fitted sensor in a room.

    None for one without a curve, or out of its range.
    """
    found = fitted(wired.part)
    if found is None or found.curve is None:
        return None
    try:
        band = part_band(wired.part, found, found.curve, room_c, 0.0)
        off = ROOM_K + (band.worst_k if band else 0.0)
        ends = sorted(found.curve.ohm(room_c + k) for k in (-off, off))
    except ValueError:
        return None
    return ends[0], ends[1]


def _sensor(wired: Wired, at: Plug, room_c: float) -> Iterator[WalkStep]:
    found, ends = fitted(wired.part), sensor_ohms(wired, room_c)
    if found is None or found.curve is None or ends is None or len(at.points) < 2:
        return
    formula = f"R({room_c:g} C) of {found.name}, {ROOM_K:g} K and the part's tolerance either way"
    inputs = (Input("room", room_c, "C", "as read"),)
    number = Number("resistance", found.curve.ohm(room_c), "ohm", formula, inputs, found.source)
    step = _resistance(wired, at, _SENSOR, ends, number)
    yield evolve(step, title=f"{step.title} at {room_c:g} C")


def _motor(wired: Wired, at: Plug, _: float) -> Iterator[WalkStep]:
    ohm = wired.part.phase_ohm
    if ohm is None or len(at.points) < 4:
        return
    inputs = (Input("coil", ohm, "ohm", f"part {wired.part.id}"),)
    formula = f"coil +- {_COIL_PCT:g} % + wires + leads"
    number = Number("resistance", ohm + at.wires_ohm, "ohm", formula, inputs)
    step = _resistance(wired, at, _COIL, _either_way(ohm, _COIL_PCT), number)
    for coil, points in enumerate((at.points[:2], at.points[2:4]), 1):
        name = f"coil {coil}"
        title = f"{roles.name(wired.role)}, {name}"
        yield evolve(step, id=f"{wired.role} {name}", title=title, points=points)


def _switch(wired: Wired, at: Plug) -> Iterator[WalkStep]:
    if wired.signal.triggered not in ("high", "low") or len(at.points) < 2:
        return
    plain, closed_idle = roles.name(wired.role), wired.signal.triggered == "high"
    most = _CLOSED_OHM + at.wires_ohm
    for state, closed in (("untouched", closed_idle), ("hit", not closed_idle)):
        way = "closed" if closed else "open"
        yield _off(
            id=f"{wired.role} {state}",
            role=wired.role,
            title=f"{plain} {state}: {way}",
            do=f"{at.pull} between signal and ground, the switch {state}.",
            points=_signal_points(wired, at),
            low=None if closed else OPEN_OHM,
            high=most if closed else None,
            too_low=f"it is closed when {state}: a switch of the other kind, or a short",
            too_high=f"it is open when {state}: a switch of the other kind, or a broken wire",
        )


def _signal_points(wired: Wired, at: Plug) -> tuple[TestPoint, ...]:
    named = dict(zip(wired.part.terminals, at.points, strict=False))
    if {"signal", "ground"} <= named.keys():
        return named["signal"], named["ground"]
    return at.points[:2]


_BY_FUNCTION: dict[str, Callable[[Wired, Plug, float], Iterator[WalkStep]]] = {
    "heater": _heater,
    "sensor": _sensor,
    "motor": _motor,
}


def _apart(copper: Copper, trace: tuple[Wired, ...]) -> Iterator[WalkStep]:
    """Yield, for each heater with a sensor in its group, that the two do not touch."""
    by_role = {wired.role: wired for wired in trace}
    for wired in trace:
        group, _, function = wired.role.partition(".")
        other = by_role.get(f"{group}.sensor")
        if function != "heater" or other is None:
            continue
        one, two = plug(copper, wired), plug(copper, other)
        if one is None or two is None:
            continue
        plugs = sorted({f"{p.connector} off {p.board}" for p in (one, two)})
        yield _off(
            id=f"{group} heater apart from sensor",
            role=wired.role,
            title=f"{roles.name(wired.role)} apart from its sensor",
            do=f"With {roles.listed(plugs)} pulled, measure from the heater to the sensor.",
            points=(one.points[-1], two.points[0]),
            low=OPEN_OHM,
            too_low="heater and sensor touch: the supply would reach the chip. Do not power it",
        )


def _rails(copper: Copper) -> Iterator[WalkStep]:
    """Yield, for each rail that a cable carries, that it is not shorted to ground."""
    for cable in copper.assembly.cables:
        board, label = copper.assembly.boards[cable.from_[0]], copper.label(cable.from_[0])
        pins: dict[NetKey, list[int]] = {}
        for pin in range(1, len(board.connectors[cable.from_[1]].pins) + 1):
            key = copper.at_pin(cable.from_, pin)
            if key and copper.is_rail(key):
                pins.setdefault(key, []).append(pin)
        points = {
            key: TestPoint(label, cable.from_[1], tuple(found), key[1])
            for key, found in pins.items()
        }
        grounds = sorted((k for k in pins if copper.net(k).is_ground), key=lambda k: -len(pins[k]))
        for key in pins:
            if key in grounds or not grounds:
                continue
            yield _off(
                id=f"{cable.from_[0]}.{cable.from_[1]} {key[1]} not shorted",
                role="",
                title=f"{key[1]} not shorted to {grounds[0][1]} on {cable.from_[1]}",
                do=(
                    f"Pull the plug {cable.from_[1]} off {label} and measure on the plug, the "
                    "tool head complete; wait until the figure stands still."
                ),
                points=(points[key], points[grounds[0]]),
                low=RAILS_OHM,
                too_low="the rail is shorted on the tool head or in the cable: do not power it",
            )
