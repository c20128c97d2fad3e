"""A heater: what it draws, what that does to its way, and what its faults come to."""

from collections.abc import Iterator

from pincheck.analysis import roles
from pincheck.analysis.case import Case, part_of
from pincheck.analysis.heated_block import heated_by
from pincheck.analysis.heater_element import Element, element
from pincheck.analysis.heater_faults import (
    HEATS,
    fallen_out,
    hottest_c,
    in_the_open,
    loose,
    out_at_warm_up,
    time_to_cut,
)
from pincheck.analysis.heater_scene import Scene, scene
from pincheck.analysis.weakest_limit import bounds
from pincheck.model.finding import Input, Number
from pincheck.model.path import Wired
from pincheck.physics.conductor import wire_drop_v
from pincheck.physics.heater import power_band_w
from pincheck.physics.protection import FaultOutcome, TemperatureLimit, switch_shorted
from pincheck.physics.switch import HOT_FACTOR, dissipation_w
from pincheck.physics.thermal import ThermalBlock, time_to_c
from pincheck.reports.figure import FigureLine, ratings

_WARM_C = {"hotend": 200.0, "bed": 60.0}
"""Where a warm-up is timed to (`common practice`)."""

_MODEL = "lumped thermal model (textbook lumped capacitance)"


def heater(case: Case, wired: Wired) -> Iterator[FigureLine]:
    """Yield power and current, each rating on the way, warm-up and faults."""
    found = element(case, wired)
    if isinstance(found, str):
        yield FigureLine("not checked", found)
        return
    yield from _drawn(found)
    yield from ratings(case, wired, found.rms_a, found.rms_a, found.inputs())
    yield from _lost(found)
    if roles.family(wired.role).split(".")[0] in _WARM_C:
        yield from _thermal(case, found)


def _drawn(found: Element) -> Iterator[FigureLine]:
    given, part = found.inputs(), found.wired.part
    capped = f" at its cap of {found.duty:.0%}" if found.duty < 1 else ""
    power = Number("power", found.power_w, "W", "cap U^2 / R", given, "Ohm's law")
    text, numbers = f"{found.power_w:.1f} W{capped}", [power]
    if part.tolerance_pct:
        band = power_band_w(found.volt, found.ohm, part.tolerance_pct, duty=found.duty)
        spread = Input("tolerance", part.tolerance_pct, "%", part_of(found.wired))
        for name, watt in (("lowest power", band.low), ("highest power", band.high)):
            numbers.append(
                Number(name, watt, "W", "cap U^2 / (R +- tolerance)", (*given, spread), "Ohm's law")
            )
        text += f" ({band.low:.1f} to {band.high:.1f} W with the tolerance of the part)"
    yield FigureLine("power", text, numbers)
    current = Number("current while on", found.on_a, "A", "U / R", given, "Ohm's law")
    effective = Number(
        "effective current", found.rms_a, "A", "U / R x root of the cap", given, "Ohm's law"
    )
    warms = f", {found.rms_a:.2f} A of heating effect{capped}" if capped else ""
    yield FigureLine("current while on", f"{found.on_a:.2f} A{warms}", (current, effective))


def _lost(found: Element) -> Iterator[FigureLine]:
    ways = [path for path in (found.wired.path, found.wired.supply) if path]
    wires = [pair for path in ways for pair in zip(path.wires, path.in_parallel, strict=True)]
    if wires:
        drop = sum(wire_drop_v(found.on_a / n, wire.awg, wire.length_m) for wire, n in wires)
        lengths = tuple(
            Input(f"{n} x {wire.awg} AWG", wire.length_m, "m", f"wiring of {found.wired.role}")
            for wire, n in wires
        )
        number = Number(
            "lost in the wires",
            drop,
            "V",
            "I x sum of length / (58 m/ohm mm2 x area x count), out and back",
            (*found.inputs(), *lengths),
            "ASTM B258, IEC 60028",
        )
        text = f"{drop:.2f} V of {found.volt:g} V ({drop / found.volt:.1%})"
        yield FigureLine("lost in the wires", text, (number,))
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
        yield FigureLine("heat in the switch", f"{loss:.2f} W", (number,))


def _thermal(case: Case, found: Element) -> Iterator[FigureLine]:
    role, ambient = found.wired.role, case.assembly.ambient_c
    heated = heated_by(case, role)
    block = heated.block
    given = (
        *found.inputs(),
        Input("heat capacity", block.heat_capacity_j_k, "J/K", heated.origin),
        Input("heat loss", block.loss_w_k, "W/K", heated.origin),
        Input("ambient", ambient, "C", "assembly"),
    )
    yield _warm_up(found, block, ambient, given)
    yield from _shorted(case, found, block, given)
    yield from _faults(scene(case, found.wired, even_off=True))


def _warm_up(
    found: Element, block: ThermalBlock, ambient_c: float, given: tuple[Input, ...]
) -> FigureLine:
    to_c = _WARM_C[roles.family(found.wired.role).split(".")[0]]
    label = f"from {ambient_c:.0f} to {to_c:.0f} C"
    took = time_to_c(ambient_c, to_c, found.power_w, ambient_c, block)
    if took is None:
        return FigureLine(label, "never: it loses all its power before")
    formula = "C / G x ln((Tinf - T0) / (Tinf - T)), Tinf = Ta + P / G"
    return FigureLine(
        label, f"{took:.0f} s", (Number("warm-up", took, "s", formula, given, _MODEL),)
    )


def _shorted(
    case: Case, found: Element, block: ThermalBlock, given: tuple[Input, ...]
) -> Iterator[FigureLine]:
    """Yield what a shorted switch comes to: nothing caps it then, the part gets all it can."""
    ambient = case.assembly.ambient_c
    limits = [
        TemperatureLimit(b.what, b.max_c) for b in bounds(case, found.wired.role.split(".")[0])
    ]
    full_w = found.volt * found.on_a
    answer = switch_shorted(block, full_w, ambient, limits)
    number = Number("settles at", answer.settle_c, "C", "Ta + U^2 / R / G", given, _MODEL)
    rough = ", an upper estimate" if answer.settle_c > 400 else ""
    yield FigureLine(
        "switch failed shorted", f"settles at {answer.settle_c:.0f} C{rough}", (number,)
    )
    first = answer.first
    if first is None or first.after_s is None:
        text = "nothing that the wiring states a limit of" if limits else "no limit is stated"
        yield FigureLine("gives way first", text)
        return
    formula = "C / G x ln((Tinf - T0) / (Tinf - T)), no cap"
    after = Number(f"time to {first.limit.max_c:.0f} C", first.after_s, "s", formula, given, _MODEL)
    text = f"{first.limit.name} at {first.limit.max_c:.0f} C, {first.after_s:.0f} s from cold"
    yield FigureLine("gives way first", text, (after,))


def _faults(found: Scene | str) -> Iterator[FigureLine]:
    """Yield what comes of each fault that the protection is there for."""
    if isinstance(found, str):
        yield FigureLine("protection", f"not checked: {found}")
        return
    at = f"at {found.at_c:.0f} C"
    yield _sensor_lost(found, f"sensor falls out {at}", fallen_out(found, found.protection))
    cold = out_at_warm_up(found, found.protection)
    yield _sensor_lost(found, "sensor out before warm-up", cold, cold=True)
    yield _loose(found, f"heater loose {at}", loose(found, found.protection))


def _sensor_lost(
    found: Scene, label: str, answer: FaultOutcome, *, cold: bool = False
) -> FigureLine:
    if answer.unknown:
        return FigureLine(label, f"not checked: {answer.unknown}")
    hot_c, given = hottest_c(answer), found.inputs(cold=cold)
    hottest = Number("hottest", hot_c, "C", HEATS, given, _MODEL)
    if answer.cut_after_s is None:
        return FigureLine(
            label, f"nothing cuts the heater, it settles at {hot_c:.0f} C", (hottest,)
        )
    cut = time_to_cut(found, answer, cold=cold)
    return FigureLine(
        label, f"cut after {answer.cut_after_s:.0f} s, at {hot_c:.0f} C", (*cut, hottest)
    )


def _loose(found: Scene, label: str, answer: FaultOutcome) -> FigureLine:
    watts = f"{found.heater.power_w:.0f} W"
    after, cooled = answer.cut_after_s, answer.block_c_at_cut
    if after is None or cooled is None:
        return FigureLine(label, f"nothing cuts the heater: with {watts} it {in_the_open(found)}")
    formula = "Ta + (T0 - Ta) exp(-t G / C)"
    return FigureLine(
        label,
        f"cut after {after:.0f} s with {watts} in the open, the "
        f"{roles.heated(found.wired.role)} at {cooled:.0f} C",
        (
            *time_to_cut(found, answer),
            Number("cooled to", cooled, "C", formula, found.inputs(), _MODEL),
        ),
    )
