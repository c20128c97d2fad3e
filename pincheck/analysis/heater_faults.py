"""The faults that a protection is there for, and what comes of each."""

from collections.abc import Callable

from pincheck.analysis.heated_block import heaviest
from pincheck.analysis.heater_scene import Scene
from pincheck.analysis.weakest_limit import TemperatureBound
from pincheck.model.finding import Number, Severity
from pincheck.model.role import split
from pincheck.physics.protection import (
    FaultOutcome,
    Protection,
    heater_loose,
    sensor_falls_out,
    sensor_out_cold,
)
from pincheck.physics.thermal import ThermalBlock

SPENT_TAUS = 5.0
"""After so many time constants a block has lost 99 % of its heat: no reading says more then."""

_BRIEF_K = 30.0
"""What is past its limit by less, and only until the cut, wears but is not destroyed at once
(`common practice`)."""

ONLY_IF_LIGHT = "the wiring gives no figures of what is heated: a light one would get too hot"

HEATS = "Tinf + (T0 - Tinf) exp(-t G / C), Tinf = Ta + P / G, P = cap U^2 / R"
SOURCE = "lumped thermal model; protection as commonly known, from memory"

_CUT_HOLDING = {
    "window": "time until the reading leaves the band + time outside the band",
    "accumulated": "once a second the lack to target - band is summed, up to the accumulated error",
    "model": "time until the reading leaves the band + time outside the band",
}
_CUT_RISING = {
    "window": "the first time allowed for a rise that brings less than the rise expected",
    "accumulated": "the first time allowed for a rise that brings less than the rise expected, "
    "then the lack to target - band summed once a second, up to the accumulated error",
    "model": "time outside the band, while the reading rises by less than 75 % of the model's rate",
}


def fallen_out(
    found: Scene, protection: Protection, block: ThermalBlock | None = None
) -> FaultOutcome:
    """Return what happens when the sensor falls out in an ordinary print."""
    watts = found.heater.power_w
    return sensor_falls_out(block or found.block, watts, found.at_c, protection, found.ambient_c)


def out_at_warm_up(
    found: Scene, protection: Protection, block: ThermalBlock | None = None
) -> FaultOutcome:
    """Return what happens when a warm-up starts with the sensor outside the block."""
    watts = found.heater.power_w
    return sensor_out_cold(block or found.block, watts, found.at_c, protection, found.ambient_c)


def loose(found: Scene, protection: Protection) -> FaultOutcome:
    """Return what happens when the heater leaves what it heats in an ordinary print."""
    watts = found.heater.power_w
    return heater_loose(found.block, watts, found.at_c, protection, found.ambient_c)


def in_the_open(found: Scene) -> str:
    """Return what a loose heater does: a cartridge has next to no surface to cool it."""
    hotend = split(found.wired.role)[0] == "hotend"
    return f"{'glows' if hotend else 'overheats'} in the open"


def time_to_cut(found: Scene, answer: FaultOutcome, *, cold: bool = False) -> tuple[Number, ...]:
    """Return when the protection cuts the heater, nothing where it never does."""
    if answer.cut_after_s is None:
        return ()
    limits = "the reading passes the lowest or highest temperature allowed"
    formula = (_CUT_RISING if cold else _CUT_HOLDING).get(found.protection.kind, limits)
    given = found.inputs(cold=cold)
    return (Number("time to the cut", answer.cut_after_s, "s", formula, given, SOURCE),)


def hottest_c(answer: FaultOutcome) -> float:
    """Return how hot the block gets: at the cut, or where it settles without one."""
    return answer.peak_c if answer.block_c_at_cut is None else answer.block_c_at_cut


def severity(answer: FaultOutcome, bound: TemperatureBound) -> Severity:
    """Return advice for a block that is cut a little past its limit, danger for more."""
    cut_near = answer.cut_after_s is not None and hottest_c(answer) <= bound.max_c + _BRIEF_K
    return Severity.ADVICE if cut_near else Severity.DANGER


def only_if_light(
    found: Scene,
    bound: TemperatureBound,
    fault: Callable[[Scene, Protection, ThermalBlock], FaultOutcome],
) -> bool:
    """Return whether a block of unknown weight passes its limit only where it is a light one."""
    block = heaviest(found.heated, found.wired.role)
    return hottest_c(fault(found, found.protection, block)) <= bound.max_c


def unnoticed(found: Scene, answer: FaultOutcome) -> bool:
    """Return whether a loose heater is cut never, or only when there is nothing left to notice."""
    return answer.cut_after_s is None or answer.cut_after_s > SPENT_TAUS * found.block.tau_s
