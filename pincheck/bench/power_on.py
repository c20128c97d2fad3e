"""What is read with the power on: rails, sensors, fans, switches, then the first heat."""

from collections.abc import Iterator

from attrs import evolve

from pincheck.analysis import roles
from pincheck.analysis.case import Case
from pincheck.analysis.heater_scene import Scene, scene
from pincheck.analysis.sensor_chain import Chain, chain
from pincheck.bench.power_off import ROOM_K, sensor_ohms
from pincheck.bench.step import TestPoint, WalkStep
from pincheck.model.finding import Input, Number
from pincheck.model.path import Wired
from pincheck.model.role import sibling, split
from pincheck.physics.believed import SensorReading, reading, resolution_c
from pincheck.physics.curve import OutOfRange
from pincheck.physics.thermal import heating
from pincheck.wiring.copper import Copper, NetKey

RAIL_PCT = 5.0
"""How far a healthy supply may be from its voltage (`common practice`)."""

FAN_PCT = 10.0
"""Supply tolerance and the loss in switch and wires (`common practice`)."""

FIRST_HEAT_C = {"hotend": 60.0, "bed": 40.0}
"""A first target that is warm enough to see and too low to harm (`common practice`)."""

_THROTTLED_K = {"hotend": 12.0, "bed": 5.0}
"""So near to its target a usual controller gives less than full power (`common practice`): the
time is taken up to there."""

_FASTEST, _SLOWEST = 0.6, 1.8
"""Spread of the time to warm, for mass and loss that are only budgeted (`common practice`)."""

_SHOWN_K = 2.0

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


def power_on(case: Case, copper: Copper, room_c: float) -> Iterator[WalkStep]:
    """Yield the steps in the order in which they are safe to do."""
    trace = case.trace.wired
    yield from _rails(copper)
    for wired in trace:
        if split(wired.role)[2] == "sensor" and wired.part.sensor:
            yield from _sensor(case, copper, wired, room_c)
    for wired in trace:
        if split(wired.role)[2] in ("endstop", "signal") or wired.part.kind == "endstop":
            yield _look(wired, "answers", _ANSWERS)
    fans = [wired for wired in trace if split(wired.role)[2] == "fan"]
    by_heat = {wired.role for wired in fans if case.claims.find(wired.role, "threshold_c")}
    for wired in fans:
        if wired.role not in by_heat:
            yield _fan(copper, wired, _COMMANDED)
    for wired in trace:
        if split(wired.role)[2] == "motor":
            yield _look(wired, "moves", _MOVES)
    for wired in trace:
        if split(wired.role)[2] == "heater":
            yield from _heat(case, wired, room_c)
    for wired in fans:
        if wired.role in by_heat:
            yield _fan(copper, wired, _BY_HEAT)


def _rails(copper: Copper) -> Iterator[WalkStep]:
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
                volts = copper.volts(key) if key else None
                if key is None or not volts or ground is None or copper.node(key) in seen:
                    continue
                seen.add(copper.node(key))
                yield _rail(copper, place, keys, key, ground, volts)


def _rail(
    copper: Copper,
    place: tuple[str, str],
    keys: list[NetKey | None],
    key: NetKey,
    ground: NetKey,
    volts: float,
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
        low=volts * (1 - RAIL_PCT / 100),
        high=volts * (1 + RAIL_PCT / 100),
        numbers=(Number("rail", volts, "V", f"stated voltage +- {RAIL_PCT:g} %"),),
        too_low="a weak or overloaded supply, or a bad contact",
        too_high="the supply is set too high, or the wrong rail is on the pin: switch off",
    )


def _where(keys: list[NetKey | None], wanted: NetKey) -> tuple[int, ...]:
    return tuple(pin for pin, key in enumerate(keys, 1) if key == wanted)


def _sensor(case: Case, copper: Copper, wired: Wired, room_c: float) -> Iterator[WalkStep]:
    plain = roles.name(wired.role)
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
    ends = sensor_ohms(wired, room_c)
    pulls = wired.path.pullups
    if ends is None or len(pulls) != 1 or wired.fit.connector is None:
        return
    pull, spread = pulls[0], pulls[0].tolerance_pct / 100
    yield WalkStep(
        id=f"{wired.role} voltage",
        power="on",
        role=wired.role,
        title=f"{plain}, voltage across it",
        do="Measure across the sensor with everything plugged in.",
        points=_own_points(copper, wired),
        unit="V",
        low=pull.to_v * ends[0] / (ends[0] + pull.ohm * (1 + spread)),
        high=pull.to_v * ends[1] / (ends[1] + pull.ohm * (1 - spread)),
        numbers=(
            Number(
                "voltage at the lower resistance",
                pull.to_v * ends[0] / (ends[0] + pull.ohm),
                "V",
                "V = pull-up's voltage * R / (R + pull-up)",
                (
                    Input("pull-up", pull.ohm, "ohm", f"wiring of {wired.role}"),
                    Input("pull-up to", pull.to_v, "V", f"wiring of {wired.role}"),
                    Input("R", round(ends[0], 1), "ohm", f"part {wired.part.id}"),
                ),
            ),
        ),
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


def _fan(copper: Copper, wired: Wired, do: str) -> WalkStep:
    volts, place = wired.supply_v, wired.fit.connector
    mates = [f"the {roles.name(role)}" for role in wired.switch_mates]
    verb = "turns" if len(mates) == 1 else "turn"
    with_it = f" ({roles.listed(mates)} {verb} with it)" if mates else ", and no other"
    step = _look(wired, "turns", do, with_it)
    if not volts or place is None or len(wired.fit.pins) < 2:
        return step
    return evolve(
        step,
        do=f"{step.do} Then measure across its plug.",
        points=_own_points(copper, wired),
        unit="V",
        low=volts * (1 - FAN_PCT / 100),
        high=volts * (1 + RAIL_PCT / 100),
        numbers=(Number("supply", volts, "V", "rail less ground, as wired"),),
        too_low="it is not switched: another pin, another fan, or the wrong way round",
        too_high="the wrong rail is on the plug: switch off before the fan burns",
    )


def _own_points(copper: Copper, wired: Wired) -> tuple[TestPoint, ...]:
    place = wired.fit.connector
    assert place is not None
    return tuple(
        TestPoint(copper.label(place[0]), place[1], (pin,), net[1])
        for pin in wired.fit.pins[:2]
        if (net := copper.at_pin(place, pin))
    )


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
