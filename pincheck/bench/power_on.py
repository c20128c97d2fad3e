"""What is read and looked at with the power on and no heater plugged in."""

from collections.abc import Iterator

from attrs import evolve

from pincheck import styles
from pincheck.analysis import roles
from pincheck.analysis.case import Case
from pincheck.analysis.meter import Meter, Pin, Reading
from pincheck.analysis.sensor_chain import Chain, chain
from pincheck.analysis.without_power import ROOM_K, sensor_ohm
from pincheck.bench.rails import SOLVED, how, point, rails
from pincheck.bench.step import Asks, WalkStep
from pincheck.model.finding import Input, Number
from pincheck.model.path import Wired
from pincheck.model.role import split
from pincheck.physics.believed import SensorReading, reading, resolution_c
from pincheck.physics.curve import OutOfRange
from pincheck.wiring.copper import Copper, NetKey

_SHOWN_K = 2.0

_ANSWERS = (
    "Ask the firmware for the state of the {plain}: open while untouched, triggered while you "
    "hold it. Nothing may home before both are right."
)
_FILAMENT = (
    "Ask the firmware twice, with filament in the {plain} and with it pulled out: only then it "
    "says that there is none."
)
_HAND = (
    "Warm the {plain} with a hand on the block or plate that it sits in, the heaters' plugs still "
    "out, and ask again and again: its figure rises within two minutes, and no other."
)
_MOVES = "Move the {plain} a little, away from any end: it runs smoothly and the right way."
_COMMANDED = "Switch the {plain} fully on: it turns{mates}, blowing the way it should."
_OTHER_FAN = "switch it off: another pin, another fan, the wrong way round, or a broken wire"


def power_on(case: Case, copper: Copper, meter: Meter) -> Iterator[WalkStep]:
    """Yield the steps without heat, in the order in which they are safe to do."""
    trace, console = case.trace.wired, styles.of(case.claims.style).console
    ask = (console.temperatures,)
    yield from rails(copper, meter)
    yield _MINUTE
    sensors = [w for w in trace if split(w.role)[2] == "sensor" and w.part.sensor]
    for wired in sensors:
        for step in _sensor(case, copper, wired, meter):
            yield step if step.unit == "V" else evolve(step, commands=ask, asks="shown")
    for wired in sensors if len(sensors) > 1 else ():
        wrong = "another figure rose, or none: sensors exchanged, or a wire broken. Do not heat"
        yield look(wired, "in a hand", _HAND, commands=ask, asks="hand", too_low=wrong)
    deploys = tuple(_servo(case))
    yield from deploys[:1]
    for wired in trace:
        if split(wired.role)[2] in ("endstop", "signal") or wired.part.kind == "endstop":
            do = _FILAMENT if split(wired.role)[0] == "filament" else _ANSWERS
            wrong = "inverted, another pin, or a broken wire: nothing may home. Switch off"
            asked = (console.switch(case.claims, wired.role),)
            yield look(wired, "answers", do, commands=asked, asks="switch", too_low=wrong)
    yield from deploys[1:]
    for wired in trace:
        if split(wired.role)[2] == "fan" and not case.claims.find(wired.role, "threshold_c"):
            yield _commanded(case, copper, wired, meter)
    for wired in trace:
        if split(wired.role)[2] == "motor":
            wrong = "switch off: coils exchanged or broken, another driver's plug, or turned round"
            lines = console.move(case.claims, wired.role)
            yield look(wired, "moves", _MOVES, commands=lines, asks="sent", too_low=wrong)


_MINUTE = WalkStep(
    id="first minute",
    power="on",
    role="",
    title="the first minute",
    do=(
        "Hand on the switch, watch for a minute: nothing smells, smokes, hums or gets warm, no "
        "light goes out, no figure drifts."
    ),
    too_low="switch off at once and look where it got warm",
    asks="minute",
)


def _servo(case: Case) -> Iterator[WalkStep]:
    """Yield that the pin of a servo probe goes out, triggers, and goes back in."""
    wired = case.trace.find("probe.servo") or case.trace.find("probe.signal")
    if wired is None or not case.claims.find("probe.servo", "pin"):
        return
    console = styles.of(case.claims.style).console
    wrong = "the servo lead is on another pin, or its supply is missing: nothing may home"
    deploy = "Send the probe's pin out: it drops and stays out."
    for does, do, out in (
        ("deploys", deploy, True),
        ("stows", "Send the probe's pin back in: it stays up.", False),
    ):
        lines = console.servo(case.claims, out)
        step = look(wired, does, do, commands=lines, asks="sent", too_low=wrong)
        yield evolve(step, id=f"probe.servo {does}")


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
        do=how(copper, points),
        points=tuple(point(copper, pin) for pin in points),
        unit="V",
        low=reading.low,
        high=reading.high,
        numbers=(Number("voltage", reading.nominal, "V", SOLVED, given),),
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


def look(
    wired: Wired,
    does: str,
    do: str,
    *,
    commands: tuple[str, ...] = (),
    asks: Asks = "",
    too_low: str = "",
    mates: str = "",
) -> WalkStep:
    """Return a step that is only looked at: whether a part does what is asked."""
    plain = roles.name(wired.role)
    return WalkStep(
        id=f"{wired.role} {does}",
        power="on",
        role=wired.role,
        title=f"{plain} {does}",
        do=do.format(plain=plain, mates=mates),
        too_low=too_low,
        commands=commands,
        asks=asks,
    )


def fan(
    copper: Copper, wired: Wired, meter: Meter, do: str, heated: NetKey | None = None
) -> WalkStep:
    """Return the step that looks whether a fan turns; `heated` is a load that is on with it."""
    mates = [f"the {roles.name(role)}" for role in wired.switch_mates]
    verb = "turns" if len(mates) == 1 else "turn"
    with_it = f" ({roles.listed(mates)} {verb} with it)" if mates else ", and no other"
    step, own = look(wired, "turns", do, mates=with_it, too_low=_OTHER_FAN), None
    if wired.supply_v:
        own = _own(copper, wired, meter, heated)
    if own is None:
        return step
    (plus, minus), reading = own
    where = f"{plus[1]} of {copper.label(plus[0])}, pin {plus[2]} to pin {minus[2]}"
    band = f"{reading.low:.1f} to {reading.high:.1f} V"
    return evolve(step, note=f"Should it stand still: across its plug ({where}) belong {band}.")


def _commanded(case: Case, copper: Copper, wired: Wired, meter: Meter) -> WalkStep:
    console = styles.of(case.claims.style).console
    fans = (wired.role, *wired.switch_mates)
    own = next((it for it in fans if console.fan(case.claims, it, True)), wired.role)
    on, off = (console.fan(case.claims, own, it) for it in (True, False))
    return evolve(fan(copper, wired, meter, _COMMANDED), commands=on, undo=off, asks="sent")


def _own(
    copper: Copper, wired: Wired, meter: Meter, heated: NetKey | None = None
) -> tuple[tuple[Pin, Pin], Reading] | None:
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
    return ((*place, pins[0]), (*place, pins[1])), reading
