"""What is measured with the power off and the plugs pulled."""

import math
from collections.abc import Callable, Iterator
from functools import partial

from attrs import evolve

from pincheck.analysis import roles
from pincheck.analysis.heater_element import resistance_ohm
from pincheck.analysis.meter import LEADS_OHM, OPEN_OHM, Meter
from pincheck.analysis.without_power import COIL_PCT, HEATER_PCT, RAILS_OHM, ROOM_K, sensor_ohm
from pincheck.bench.plug import Plug, plug
from pincheck.bench.step import TestPoint, WalkStep
from pincheck.model.finding import Input, Number
from pincheck.model.path import Wired
from pincheck.model.role import split
from pincheck.sensors import fitted
from pincheck.wiring.copper import Copper, NetKey

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


def power_off(copper: Copper, trace: tuple[Wired, ...], meter: Meter) -> Iterator[WalkStep]:
    """Yield the steps of everything fitted, in the order of the wiring, then the rails."""
    for wired in trace:
        found = plug(copper, wired)
        make = _BY_FUNCTION.get(split(wired.role)[2])
        if found and make:
            yield from make(wired, found, meter)
        if found and wired.signal.output == "switch":
            yield from _switch(wired, found, meter)
    yield from _apart(copper, trace, meter)
    yield from _rails(copper, meter)


def _resistance(
    wired: Wired,
    at: Plug,
    words: tuple[str, str, str],
    meter: Meter,
    number: Number,
    first: int = 0,
) -> WalkStep | None:
    """Return the step that measures a part between two terminals through its wires.

    `words` say how it is measured, and what a lower and a higher figure mean. None where nobody
    knows the reading.
    """
    if len(at.points) < first + 2:
        return None
    ends = at.pin(first), at.pin(first + 1)
    reading = meter.ohm(*ends, [at.at])
    shorts = (it for it in meter.ohm_faults(*ends, [at.at]) if it.kind == "short")
    way = next(shorts, None)
    if reading is None or way is None or reading.low == math.inf:
        return None
    inputs = (
        Input("wires and contacts out and back", round(way.reading.nominal, 3), "ohm", "wiring"),
        Input("leads and contacts, at most", LEADS_OHM, "ohm", "common practice"),
    )
    do, too_low, too_high = words
    return _off(
        id=f"{wired.role} resistance",
        role=wired.role,
        title=f"{roles.name(wired.role)}, resistance",
        do=f"{at.pull} {do}",
        points=at.points[first : first + 2],
        low=reading.low,
        high=reading.high,
        numbers=(evolve(number, value=reading.nominal, inputs=(*number.inputs, *inputs)),),
        too_low=too_low,
        too_high=too_high,
    )


def _heater(wired: Wired, at: Plug, meter: Meter) -> Iterator[WalkStep]:
    ohm, part = resistance_ohm(wired), wired.part
    if ohm is None:
        return
    pct, said = part.tolerance_pct or HEATER_PCT, f"part {part.id}"
    inputs = Input("part", ohm, "ohm", said), Input("tolerance", pct, "%", said)
    number = Number("resistance", ohm, "ohm", "part with its tolerance + wires + leads", inputs)
    if step := _resistance(wired, at, _HEATER, meter, number):
        yield step


def _sensor(wired: Wired, at: Plug, meter: Meter) -> Iterator[WalkStep]:
    found, room_c = fitted(wired.part), meter.room_c
    ohm = sensor_ohm(wired.part, room_c)
    if found is None or ohm is None:
        return
    formula = f"R({room_c:g} C) of {found.name}, {ROOM_K:g} K and the part's tolerance either way"
    inputs = (Input("room", room_c, "C", "as read"),)
    number = Number("resistance", ohm.nominal, "ohm", formula, inputs, found.source)
    if step := _resistance(wired, at, _SENSOR, meter, number):
        yield evolve(step, title=f"{step.title} at {room_c:g} C")


def _motor(wired: Wired, at: Plug, meter: Meter) -> Iterator[WalkStep]:
    ohm = wired.part.phase_ohm
    if ohm is None or len(at.points) < 4:
        return
    inputs = (Input("coil", ohm, "ohm", f"part {wired.part.id}"),)
    number = Number("resistance", ohm, "ohm", f"coil +- {COIL_PCT:g} % + wires + leads", inputs)
    for coil in (1, 2):
        if step := _resistance(wired, at, _COIL, meter, number, 2 * coil - 2):
            title = f"{roles.name(wired.role)}, coil {coil}"
            yield evolve(step, id=f"{wired.role} coil {coil}", title=title)


def _switch(wired: Wired, at: Plug, meter: Meter) -> Iterator[WalkStep]:
    if wired.signal.triggered not in ("high", "low") or len(at.points) < 2:
        return
    plain, closed_idle = roles.name(wired.role), wired.signal.triggered == "high"
    named = dict(zip(wired.part.terminals, range(len(at.points)), strict=False))
    ends = (named["signal"], named["ground"]) if {"signal", "ground"} <= named.keys() else (0, 1)
    for state, closed in (("untouched", closed_idle), ("hit", not closed_idle)):
        way, pressed = "closed" if closed else "open", state == "hit"
        reading = meter.ohm(at.pin(ends[0]), at.pin(ends[1]), [at.at], pressed=pressed)
        if reading is None or (reading.low < OPEN_OHM) is not closed:
            continue  # something beside the switch hides it
        yield _off(
            id=f"{wired.role} {state}",
            role=wired.role,
            title=f"{plain} {state}: {way}",
            do=f"{at.pull} between signal and ground, the switch {state}.",
            points=tuple(at.points[end] for end in ends),
            low=None if closed else OPEN_OHM,
            high=reading.high if closed else None,
            too_low=f"it is closed when {state}: a switch of the other kind, or a short",
            too_high=f"it is open when {state}: a switch of the other kind, or a broken wire",
        )


_BY_FUNCTION: dict[str, Callable[[Wired, Plug, Meter], Iterator[WalkStep]]] = {
    "heater": _heater,
    "sensor": _sensor,
    "motor": _motor,
}


def _apart(copper: Copper, trace: tuple[Wired, ...], meter: Meter) -> Iterator[WalkStep]:
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
        reading = meter.ohm(one.pin(-1), two.pin(0), {one.at, two.at})
        if reading is None or reading.low < RAILS_OHM:
            continue  # other parts join the two
        plugs = sorted({f"{p.at[1]} off {p.points[0].board}" for p in (one, two)})
        yield _off(
            id=f"{group} heater apart from sensor",
            role=wired.role,
            title=f"{roles.name(wired.role)} apart from its sensor",
            do=f"With {roles.listed(plugs)} pulled, measure from the heater to the sensor.",
            points=(one.points[-1], two.points[0]),
            low=min(reading.low, OPEN_OHM),
            too_low="heater and sensor touch: the supply would reach the chip. Do not power it",
        )


def _rails(copper: Copper, meter: Meter) -> Iterator[WalkStep]:
    """Yield, for each rail that a cable carries, that it is not shorted to ground."""
    for cable in copper.assembly.cables:
        at, label = cable.from_, copper.label(cable.from_[0])
        pins: dict[NetKey, list[int]] = {}
        for pin, _ in sorted(cable.pairs):
            key = copper.at_pin(at, pin)
            if key and copper.is_rail(key):
                pins.setdefault(key, []).append(pin)
        grounds = sorted((k for k in pins if copper.net(k).is_ground), key=lambda k: -len(pins[k]))
        for key in pins if grounds else ():
            ground = grounds[0]
            reading = meter.ohm((*at, pins[key][0]), (*at, pins[ground][0]), [at])
            if key in grounds or reading is None or reading.low <= LEADS_OHM:
                continue
            yield _off(
                id=f"{at[0]}.{at[1]} {key[1]} not shorted",
                role="",
                title=f"{key[1]} not shorted to {ground[1]} on {at[1]}",
                do=(
                    f"Pull the plug {at[1]} off {label} and measure on the plug, the "
                    "tool head complete; wait until the figure stands still."
                ),
                points=tuple(TestPoint(label, at[1], tuple(pins[k]), k[1]) for k in (key, ground)),
                low=min(reading.low, RAILS_OHM),
                too_low="the rail is shorted on the tool head or in the cable: do not power it",
            )
