"""Each heater put back and heated a little, then the first homing: what can do harm comes last."""

from collections.abc import Iterator

from attrs import evolve

from pincheck import styles
from pincheck.analysis import roles
from pincheck.analysis.case import Case
from pincheck.analysis.heater_scene import Scene, scene
from pincheck.analysis.meter import Meter
from pincheck.bench.power_on import fan, look
from pincheck.bench.step import WalkStep
from pincheck.model.finding import Number
from pincheck.model.path import Wired
from pincheck.model.role import sibling, split
from pincheck.physics.thermal import heating
from pincheck.wiring.copper import Copper

FIRST_HEAT_C = {"hotend": 60.0, "bed": 40.0, "chamber": 40.0}
"""A first target that is warm enough to see and too low to harm (`common practice`)."""

_THROTTLED_K = {"hotend": 12.0, "bed": 5.0, "chamber": 5.0}
"""So near to its target a usual controller gives less than full power (`common practice`): the
time is taken up to there."""

_FASTEST, _SLOWEST = 0.6, 1.8
"""Spread of the time to warm, for mass and loss that are only budgeted (`common practice`)."""

OFF = "Switch off, pull the mains plug and the USB lead, and wait until every light is out."

_BY_HEAT = (
    "The {plain} stood still while the hot end was cold. Heat it past the fan's threshold of "
    "{threshold:g} C: the fan turns{{mates}}, blowing the way it should."
)
_HOMES = (
    "One hand on the switch, the carriage far from that end{high}. Send it home and {hit} by hand "
    "while it is still on its way: it stops at once. Only then let it home to its end. Where it "
    "does not stop, or goes the other way, switch off."
)


def heaters(case: Case, left_out: tuple[str, ...]) -> tuple[Wired, ...]:
    """Return the heaters whose plugs are out at the first switch-on: all but those on mains."""
    found = (w for w in case.trace.wired if split(w.role)[2] == "heater")
    return tuple(w for w in found if w.role not in left_out and w.fit.connector)


def plugs_out(copper: Copper, pulled: tuple[Wired, ...]) -> Iterator[WalkStep]:
    """Yield the last step without power: every plug back in its place but the heaters'."""
    out = [f"{_plug(copper, wired)} ({roles.name(wired.role)})" for wired in pulled]
    stay = f" but these, which stay out until a step puts them back: {roles.listed(out)}"
    yield WalkStep(
        id="plugs for the first switch-on",
        power="off",
        role="",
        title="plugs back, those of the heaters out",
        do=f"{OFF} Put every plug back, pin 1 on pin 1,{stay if out else ' each in its socket'}.",
        too_low="no power before every plug is where it belongs",
    )


def first_heat(
    case: Case, copper: Copper, meter: Meter, pulled: tuple[Wired, ...]
) -> Iterator[WalkStep]:
    """Yield for each heater that it is put back, that it warms its own sensor, and its fans."""
    fans = [w for w in case.trace.wired if split(w.role)[2] == "fan"]
    for wired in pulled:
        yield _back(copper, wired)
        yield from _heat(case, wired, meter.room_c)
        for it in fans:
            if case.claims.find(it.role, "threshold_c") and _cools(case, it, wired):
                yield _by_heat(case, copper, it, wired, meter)


def _cools(case: Case, it: Wired, heater: Wired) -> bool:
    watches = case.claims.find(it.role, "watches")
    own = sibling(heater.role, "fan") if split(heater.role)[0] == "hotend" else ""
    return (watches.value if watches else own) == heater.role or it.role == own


def _plug(copper: Copper, wired: Wired) -> str:
    place = wired.fit.connector
    assert place is not None
    return f"{place[1]} of {copper.label(place[0])}"


def _back(copper: Copper, wired: Wired) -> WalkStep:
    plain = roles.name(wired.role)
    return WalkStep(
        id=f"{wired.role} plugged in",
        power="off",
        role=wired.role,
        title=f"{plain} put back",
        do=f"{OFF} Put the plug {_plug(copper, wired)} back. Nothing else is changed.",
        too_low="leave the plug out",
    )


def _by_heat(case: Case, copper: Copper, it: Wired, heater: Wired, meter: Meter) -> WalkStep:
    claim = case.claims.find(it.role, "threshold_c")
    value = claim.value if claim else 0.0
    threshold = float(value) if isinstance(value, int | float) else 0.0
    step = fan(
        copper,
        it,
        meter,
        _BY_HEAT.format(plain="{plain}", threshold=threshold),
        heater.switched_net,
    )
    target = FIRST_HEAT_C.get(split(heater.role)[0], 0.0)
    if threshold >= target:
        note = f"That is above {target:g} C: see it at the first heat that you watch yourself."
        return evolve(step, note=f"{step.note} {note}".strip())
    console = styles.of(case.claims.style).console
    on, off = (console.heat(case.claims, heater.role, it) for it in (target, 0.0))
    return evolve(step, commands=on, undo=off, asks="sent")


def homing(case: Case) -> Iterator[WalkStep]:
    """Yield the supervised first homing of each axis that something stops."""
    console = styles.of(case.claims.style).console
    probe = case.trace.find("probe.signal")
    for axis in "xyz":
        stop = case.trace.find(f"{axis}.endstop") or (probe if axis == "z" else None)
        if stop is None:
            continue
        hit = "touch the probe" if stop is probe else f"press the {roles.name(stop.role)}"
        high = " and the nozzle high above the bed" if axis == "z" else ""
        step = look(
            stop,
            "stops",
            _HOMES.format(hit=hit, high=high),
            commands=console.home(axis),
            asks="sent",
        )
        wrong = "switch off: another end stop, an inverted one, or the motor's direction"
        yield evolve(step, id=f"{axis} homes", title=f"{axis} homes, supervised", too_low=wrong)


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
    console = styles.of(case.claims.style).console
    on, off = (console.heat(case.claims, wired.role, it) for it in (target, 0.0))
    wrong = "switch off: the heater or the sensor belongs to another plug"
    step = look(wired, "warms", do, commands=on, asks="warms", too_low=wrong)
    step = evolve(step, undo=off, until_c=timed)
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
