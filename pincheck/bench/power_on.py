"""What is read with the power on: rails, sensors, fans, switches, then the first heat."""

from collections.abc import Iterator

from attrs import evolve

from pincheck.analysis import roles
from pincheck.analysis.case import Case
from pincheck.analysis.heater_scene import Scene, scene
from pincheck.analysis.meter import Meter, Reading
from pincheck.analysis.sensor_chain import Chain, chain
from pincheck.analysis.without_power import ROOM_K, sensor_ohm
from pincheck.bench.step import TestPoint, WalkStep
from pincheck.model.finding import Input, Number
from pincheck.model.path import Wired
from pincheck.model.role import sibling, split
from pincheck.physics.believed import SensorReading, reading, resolution_c
from pincheck.physics.curve import OutOfRange
from pincheck.physics.thermal import heating
from pincheck.wiring.copper import Copper, NetKey

FIRST_HEAT_C = {"hotend": 60.0, "bed": 40.0}
"""A first target that is warm enough to see and too low to harm (`common practice`)."""

_THROTTLED_K = {"hotend": 12.0, "bed": 5.0}
"""So near to its target a usual controller gives less than full power (`common practice`): the
time is taken up to there."""

_FASTEST, _SLOWEST = 0.6, 1.8
"""Spread of the time to warm, for mass and loss that are only budgeted (`common practice`)."""

_SHOWN_K = 2.0
_SOLVED = "the circuit solved, its ends over tolerances, wires and contacts"

_ANSWERS = (
    "Ask the firmware for the state of the {plain}: open while untouched, triggered while you "
    "hold it. Nothing may home before both are right."
)
_MOVES = "Move the {plain} a little, away from any end: it runs smoothly and the right way."
_COMMANDED = "Switch the {plain} fully on: it turns{mates}, blowing the way it should."
_BY_HEAT = (
    "The {plain} stands still while the hot end is cold. Heat it just past the fan's threshold: "
    "the fan turns{mates}, blowing the way it should."
)


def power_on(case: Case, copper: Copper, meter: Meter) -> Iterator[WalkStep]:
    """Yield the steps in the order in which they are safe to do."""
    trace, room_c = case.trace.wired, meter.room_c
    yield from _rails(copper, meter)
    for wired in trace:
        if split(wired.role)[2] == "sensor" and wired.part.sensor:
            yield from _sensor(case, copper, wired, meter)
    for wired in trace:
        if split(wired.role)[2] in ("endstop", "signal") or wired.part.kind == "endstop":
            yield _look(wired, "answers", _ANSWERS)
    fans = [wired for wired in trace if split(wired.role)[2] == "fan"]
    by_heat = {wired.role for wired in fans if case.claims.find(wired.role, "threshold_c")}
    for wired in fans:
        if wired.role not in by_heat:
            yield _fan(copper, wired, meter, _COMMANDED)
    for wired in trace:
        if split(wired.role)[2] == "motor":
            yield _look(wired, "moves", _MOVES)
    for wired in trace:
        if split(wired.role)[2] == "heater":
            yield from _heat(case, wired, room_c)
    for wired in fans:
        if wired.role in by_heat:
            warm = case.trace.find(f"{wired.role.rpartition('.')[0]}.heater")
            heated = warm.switched_net if warm else None
            yield _fan(copper, wired, meter, _BY_HEAT, heated)


def _rails(copper: Copper, meter: Meter) -> Iterator[WalkStep]:
    """Yield each rail once, on the board farthest from the chip that has it beside a ground."""
    seen = set()
    boards = copper.assembly.boards
    for board in sorted(boards, key=lambda key: (bool(boards[key].chip), key)):
        for name, connector in boards[board].connectors.items():
            if boards[board].mains:
                continue  # measured where no mains is near
            place = board, name
            keys = [copper.at_pin(place, pin) for pin in range(1, len(connector.pins) + 1)]
            grounds = [key for key in keys if key and copper.net(key).is_ground]
            ground = max(grounds, key=grounds.count, default=None)
            for key in dict.fromkeys(keys):
                if key is None or not copper.volts(key) or ground is None:
                    continue
                pins = keys.index(key) + 1, keys.index(ground) + 1
                reading = meter.volts((*place, pins[0]), (*place, pins[1]))
                if copper.node(key) in seen or reading is None or reading.low <= 0.0:
                    continue
                seen.add(copper.node(key))
                yield _rail(copper, place, keys, key, ground, reading)


def _rail(
    copper: Copper,
    place: tuple[str, str],
    keys: list[NetKey | None],
    key: NetKey,
    ground: NetKey,
    reading: Reading,
) -> WalkStep:
    board = copper.label(place[0])

    def point(wanted: NetKey) -> TestPoint:
        return TestPoint(board, place[1], _where(keys, wanted), wanted[1])

    return WalkStep(
        id=f"{key[0]}.{key[1]} voltage",
        power="on",
        role="",
        title=f"{key[1]} of {board}, voltage",
        do="Heaters off. Switch on, hands clear, and measure between the two pins.",
        points=(point(key), point(ground)),
        unit="V",
        low=reading.low,
        high=reading.high,
        numbers=(Number("rail", reading.nominal, "V", _SOLVED),),
        too_low="a weak or overloaded supply, or a bad contact",
        too_high="the supply is set too high, or the wrong rail is on the pin: switch off",
    )


def _where(keys: list[NetKey | None], wanted: NetKey) -> tuple[int, ...]:
    return tuple(pin for pin, key in enumerate(keys, 1) if key == wanted)


def _sensor(case: Case, copper: Copper, wired: Wired, meter: Meter) -> Iterator[WalkStep]:
    plain, room_c = roles.name(wired.role), meter.room_c
    both = chain(case, wired)
    shown = _shown(both, room_c) if isinstance(both, Chain) else None
    note, off_k = "", ROOM_K + _SHOWN_K
    numbers: tuple[Number, ...] = ()
    if shown is not None and isinstance(both, Chain):
        name = f"the configuration as it stands shows at a true {room_c:g} C"
        numbers = (both.number(name, shown),)
        off_k = ROOM_K + max(_SHOWN_K, _unsure_k(both, room_c))
        if abs(shown.error_c) > off_k:
            about = f"{shown.believed_c:.0f} C"
            note = f"With the configuration as it stands it will show about {about}."
    yield WalkStep(
        id=f"{wired.role} shown",
        power="on",
        role=wired.role,
        title=f"{plain}, what the firmware shows",
        do="Heaters off. Read the temperature that the firmware shows and compare with the room.",
        unit="C",
        low=room_c - off_k,
        high=room_c + off_k,
        numbers=numbers,
        too_low="wrong sensor table, wrong pull-up, or an open sensor: do not heat",
        too_high="wrong sensor table, wrong pull-up, or a short: do not heat",
        note=note,
    )
    pulls, own = wired.path.pullups, _own(copper, wired, meter)
    if sensor_ohm(wired.part, room_c) is None or len(pulls) != 1 or own is None:
        return
    points, reading = own
    given = (
        Input("pull-up", pulls[0].ohm, "ohm", f"wiring of {wired.role}"),
        Input("pull-up to", pulls[0].to_v, "V", f"wiring of {wired.role}"),
    )
    yield WalkStep(
        id=f"{wired.role} voltage",
        power="on",
        role=wired.role,
        title=f"{plain}, voltage across it",
        do="Measure across the sensor with everything plugged in.",
        points=points,
        unit="V",
        low=reading.low,
        high=reading.high,
        numbers=(Number("voltage", reading.nominal, "V", _SOLVED, given),),
        too_low="another pull-up than stated, or a part of lower resistance",
        too_high="an open sensor, another pull-up, or a higher voltage on it: switch off",
    )


def _shown(both: Chain, room_c: float) -> SensorReading | None:
    try:
        return reading(room_c, both.curve, both.divider, both.assumed_curve, both.assumed_divider)
    except OutOfRange:
        return None


def _unsure_k(both: Chain, room_c: float) -> float:
    """Return how far a right sensor may be off: parts, pull-up and one count of the converter.

    A platinum sensor on a pull-up of 1 % is 3 K off by that alone.
    """
    band = both.band(room_c)
    return (band.worst_k if band else 0.0) + resolution_c(room_c, both.curve, both.divider)


def _look(wired: Wired, does: str, do: str, mates: str = "") -> WalkStep:
    """Return a step that is only looked at: whether a part does what is asked."""
    plain = roles.name(wired.role)
    return WalkStep(
        id=f"{wired.role} {does}",
        power="on",
        role=wired.role,
        title=f"{plain} {does}",
        do=do.format(plain=plain, mates=mates),
    )


def _fan(
    copper: Copper, wired: Wired, meter: Meter, do: str, heated: NetKey | None = None
) -> WalkStep:
    mates = [f"the {roles.name(role)}" for role in wired.switch_mates]
    verb = "turns" if len(mates) == 1 else "turn"
    with_it = f" ({roles.listed(mates)} {verb} with it)" if mates else ", and no other"
    step, own = _look(wired, "turns", do, with_it), _own(copper, wired, meter, heated)
    if own is None or not wired.supply_v:
        return step
    points, reading = own
    return evolve(
        step,
        do=f"{step.do} Then measure across its plug.",
        points=points,
        unit="V",
        low=reading.low,
        high=reading.high,
        numbers=(Number("voltage", reading.nominal, "V", _SOLVED),),
        too_low="it is not switched: another pin, another fan, or the wrong way round",
        too_high="the wrong rail is on the plug: switch off before the fan burns",
    )


def _own(
    copper: Copper, wired: Wired, meter: Meter, heated: NetKey | None = None
) -> tuple[tuple[TestPoint, ...], Reading] | None:
    """Return the pins of a part's plug, plus first, and what is read there while it is on.

    `heated` is another load that may be on or off. None where nothing is read.
    """
    place, pins, on = wired.fit.connector, wired.fit.pins[:2], filter(None, (wired.switched_net,))
    if place is None or len(pins) < 2 or not all(copper.at_pin(place, pin) for pin in pins):
        return None
    one, two = ((*place, pin) for pin in pins)
    alone = (*on,)
    shown = [meter.volts(one, two, on) for on in (alone, *(((*alone, heated),) if heated else ()))]
    if (reading := shown[0]) is None or (last := shown[-1]) is None or not reading.nominal:
        return None
    reading = evolve(reading, low=min(reading.low, last.low), high=max(reading.high, last.high))
    if reading.nominal < 0:
        pins = pins[::-1]
        reading = Reading("V", -reading.high, -reading.nominal, -reading.low)
    label = copper.label(place[0])
    points = tuple(
        TestPoint(label, place[1], (pin,), net[1])
        for pin in pins
        if (net := copper.at_pin(place, pin))
    )
    return points, reading


def _heat(case: Case, wired: Wired, room_c: float) -> Iterator[WalkStep]:
    group = split(wired.role)[0]
    plain, target = roles.name(wired.role), FIRST_HEAT_C.get(group)
    found = scene(case, wired)
    if target is None or target <= room_c:
        return
    timed = target - _THROTTLED_K[group]
    do = (
        f"Set {target:g} C and stay with it: {roles.name(sibling(wired.role, 'sensor'))} and "
        f"nothing else gets warm. Time it to {timed:g} C; switch off at once if another figure "
        "rises."
    )
    step = _look(wired, "warms", do)
    if not isinstance(found, Scene):
        title, note = f"{plain} warms the right sensor", f"No time can be computed: {found}."
        yield evolve(step, title=title, note=note)
        return
    course = heating(found.heater.power_w, room_c, room_c, found.block)
    takes = course.first(lambda shown_c: shown_c >= timed, 0.0, 3600.0)
    if takes is None or timed <= room_c:
        return
    yield evolve(
        step,
        title=f"{plain} warms to {timed:g} C",
        unit="s",
        low=takes * _FASTEST,
        high=takes * _SLOWEST,
        numbers=(
            Number(
                f"time from {room_c:g} C to {timed:g} C shown",
                takes,
                "s",
                "lumped thermal model at the capped power, sensor lag included",
                found.inputs(),
                "heat capacity and loss are budgeted, so 0.6 to 1.8 times is taken as right",
            ),
        ),
        too_low="a stronger heater than stated, or a sensor that reads too high",
        too_high="a weaker heater, a sensor not seated, or the wrong heater: switch off",
    )
