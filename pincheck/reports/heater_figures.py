"""A heater: what it draws, what that does to its way, and what its faults come to."""

from collections.abc import Iterator

from attrs import evolve

from pincheck.analysis import roles
from pincheck.analysis.case import Case, part_of
from pincheck.analysis.currents import voltage_across, ways
from pincheck.analysis.heated_block import heated_by
from pincheck.analysis.heater_element import HeaterElement, element
from pincheck.analysis.heater_faults import (
    Fault,
    between,
    cut_and_heat,
    fallen_out,
    hottest,
    hottest_c,
    in_the_open,
    loose,
    of_ends,
    out_at_warm_up,
    time_to_cut,
)
from pincheck.analysis.heater_scene import Scene, scene
from pincheck.analysis.weakest_limit import bounds
from pincheck.model.finding import Input, Number
from pincheck.model.path import Wired
from pincheck.physics.heater import power_band_w
from pincheck.physics.protection import TemperatureLimit, switch_shorted
from pincheck.physics.switch import HOT_FACTOR, dissipation_w
from pincheck.physics.thermal import ThermalBlock, time_to_c
from pincheck.reports.figure import FigureLine, against, ratings
from pincheck.reports.sentences import digits

_WARM_C = {"hotend": 200.0, "bed": 60.0}
"""Where a warm-up is timed to (`common practice`)."""

_WARMS = "C / G x ln((Tinf - T0) / (Tinf - T)), Tinf = Ta + P / G"
_MODEL = "lumped thermal model (textbook lumped capacitance)"


def heater(case: Case, wired: Wired) -> Iterator[FigureLine]:
    """Yield power and current, each rating on the way, warm-up and faults."""
    found = element(case, wired)
    if isinstance(found, str):
        yield FigureLine("not checked", found)
        return
    yield from _drawn(found)
    yield from ratings(case, wired)
    yield from _stuck(case, found)
    yield from _lost(case, found)
    if roles.family(wired.role).split(".")[0] in _WARM_C:
        yield from _thermal(case, found)


def _drawn(found: HeaterElement) -> Iterator[FigureLine]:
    given, part = found.inputs(), found.wired.part
    capped = f" at its cap of {found.duty:.0%}" if found.duty < 1 else ""
    power = Number("power", found.power_w, "W", "cap U^2 / R", given, "Ohm's law")
    text, numbers = f"{digits(found.power_w, 3)} W{capped}", [power]
    if part.tolerance_pct:
        band = power_band_w(found.volt, found.ohm, part.tolerance_pct, duty=found.duty)
        spread = Input("tolerance", part.tolerance_pct, "%", part_of(found.wired))
        for name, watt in (("lowest power", band.low), ("highest power", band.high)):
            numbers.append(
                Number(name, watt, "W", "cap U^2 / (R +- tolerance)", (*given, spread), "Ohm's law")
            )
        text += (
            f" ({digits(band.low, 3)} to {digits(band.high, 3)} W with the tolerance of the part)"
        )
    yield FigureLine("power", text, numbers)
    current = Number("current while on", found.on_a, "A", "U / R", given, "Ohm's law")
    effective = Number(
        "effective current", found.rms_a, "A", "U / R x root of the cap", given, "Ohm's law"
    )
    warms = f", {digits(found.rms_a, 3)} A of heating effect{capped}" if capped else ""
    yield FigureLine("current while on", f"{digits(found.on_a, 3)} A{warms}", (current, effective))


def _stuck(case: Case, found: HeaterElement) -> Iterator[FigureLine]:
    """Yield what the weakest thing on its way carries when nothing caps the heater any more."""
    if found.duty in (0.0, 1.0):
        return
    full = [
        (way.strain, way.of(found.wired.role) / found.duty**0.5) for way in ways(case, found.wired)
    ]
    if full:
        strain, amps = max(full, key=lambda it: it[1] / it[0].may_a)
        yield against(
            evolve(strain, what="its switch stuck on"), amps, found.inputs(), f", {strain.what}"
        )


def _lost(case: Case, found: HeaterElement) -> Iterator[FigureLine]:
    if (got := voltage_across(case, found.wired)) is not None:
        drop = found.volt - got
        formula = "U - I R with everything on: contacts, wires, tracks and switch, out and back"
        number = Number("lost on the way", drop, "V", formula, found.inputs(), "Kirchhoff's laws")
        text = f"{digits(drop, 2)} V of {found.volt:g} V ({drop / found.volt:.1%})"
        yield FigureLine("lost on the way", text, (number,))
    switch = found.wired.path.switch
    if switch and switch.rds_on_mohm:
        loss = dissipation_w(found.on_a, switch.rds_on_mohm, found.duty)
        rds = Input("on resistance", switch.rds_on_mohm, "mohm", f"wiring of {found.wired.role}")
        number = Number(
            "heat in the switch",
            loss,
            "W",
            f"cap I^2 R x {HOT_FACTOR:g} when hot",
            (*found.inputs(), rds),
            "common practice",
        )
        yield FigureLine("heat in the switch", f"{digits(loss, 2)} W", (number,))


def _thermal(case: Case, found: HeaterElement) -> Iterator[FigureLine]:
    role, ambient = found.wired.role, case.assembly.ambient_c
    heated = heated_by(case, role)
    ends = heated.ends
    given = (*found.inputs(), *heated.inputs(), Input("ambient", ambient, "C", "assembly"))
    yield _warm_up(found, ends, ambient, given)
    yield from _shorted(case, found, ends, given)
    yield from _faults(scene(case, found.wired, even_off=True))


def _warm_up(
    found: HeaterElement, ends: tuple[ThermalBlock, ...], ambient_c: float, given: tuple[Input, ...]
) -> FigureLine:
    to_c = _WARM_C[roles.family(found.wired.role).split(".")[0]]
    label = f"from {ambient_c:.0f} to {to_c:.0f} C"
    took = [time_to_c(ambient_c, to_c, found.power_w, ambient_c, block) for block in ends]
    times = [time for time in took if time is not None]
    if not times:
        return FigureLine(label, "never: it loses all its power before")
    numbers = [Number("warm-up", time, "s", _WARMS, given, _MODEL) for time in times]
    never = "" if len(times) == len(took) else ", never where it loses most"
    return FigureLine(label, f"{between(times, 's')}{never}", numbers)


def _shorted(
    case: Case, found: HeaterElement, ends: tuple[ThermalBlock, ...], given: tuple[Input, ...]
) -> Iterator[FigureLine]:
    """Yield what a shorted switch comes to: nothing caps it then, the part gets all it can."""
    ambient = case.assembly.ambient_c
    limits = [
        TemperatureLimit(b.what, b.max_c) for b in bounds(case, found.wired.role.split(".")[0])
    ]
    full_w = found.volt * found.on_a
    answers = [switch_shorted(block, full_w, ambient, limits) for block in ends]
    settle = [answer.settle_c for answer in answers]
    numbers = [Number("settles at", c, "C", "Ta + U^2 / R / G", given, _MODEL) for c in settle]
    rough = ", an upper estimate" if max(settle) > 400 else ""
    text = f"settles at {between(settle, 'C')}{rough}"
    yield FigureLine("switch failed shorted", text, numbers)
    first = min(limits, key=lambda limit: limit.max_c, default=None)
    passed = [answer.first.after_s for answer in answers if answer.first]
    times = [time for time in passed if time is not None]
    if first is None or not times:
        text = "nothing that the wiring states a limit of" if limits else "no limit is stated"
        yield FigureLine("gives way first", text)
        return
    name = f"time to {first.max_c:.0f} C"
    after = [Number(name, time, "s", f"{_WARMS}, no cap", given, _MODEL) for time in times]
    never = "" if len(times) == len(ends) else ", if it loses little"
    text = f"{first.name} at {first.max_c:.0f} C, {between(times, 's')} from cold{never}"
    yield FigureLine("gives way first", text, after)


def _faults(found: Scene | str) -> Iterator[FigureLine]:
    """Yield what comes of each fault that the protection is there for."""
    if isinstance(found, str):
        yield FigureLine("protection", f"not checked: {found}")
        return
    at = f"at {found.at_c:.0f} C"
    yield _sensor_lost(found, f"sensor falls out {at}", fallen_out)
    yield _sensor_lost(found, "sensor out before warm-up", out_at_warm_up, cold=True)
    yield _loose(found, f"heater loose {at}")


def _sensor_lost(found: Scene, label: str, fault: Fault, *, cold: bool = False) -> FigureLine:
    answers = of_ends(found, fault)
    if unknown := answers[0].unknown:
        return FigureLine(label, f"not checked: {unknown}")
    numbers = hottest(found, answers, "hottest", cold=cold)
    if not any(answer.trips for answer in answers):
        settles = between(map(hottest_c, answers), "C")
        return FigureLine(label, f"nothing cuts the heater, it settles at {settles}", numbers)
    cut = time_to_cut(found, answers[0], cold=cold)
    text = cut_and_heat(answers).removeprefix("the heater is ")
    return FigureLine(label, text, (*cut, *numbers))


def _loose(found: Scene, label: str) -> FigureLine:
    answers = of_ends(found, loose)
    watts = f"{found.heater.power_w:.0f} W"
    cuts = [answer.cut_after_s for answer in answers if answer.cut_after_s is not None]
    cooled = [answer.block_c_at_cut for answer in answers if answer.block_c_at_cut is not None]
    if not cuts:
        return FigureLine(label, f"nothing cuts the heater: with {watts} it {in_the_open(found)}")
    formula = "Ta + (T0 - Ta) exp(-t G / C)"
    return FigureLine(
        label,
        f"cut after {between(cuts, 's')} with {watts} in the open, the "
        f"{roles.heated(found.wired.role)} at {between(cooled, 'C')}",
        (
            *time_to_cut(found, answers[0]),
            *(Number("cooled to", c, "C", formula, found.inputs(), _MODEL) for c in cooled),
        ),
    )
