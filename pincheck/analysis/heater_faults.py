"""The faults that a protection is there for, and what comes of each."""

from collections.abc import Callable, Iterable

from pincheck.analysis.heater_scene import Scene
from pincheck.analysis.over_the_band import over_the_band
from pincheck.analysis.weakest_limit import TemperatureBound, depends
from pincheck.model.finding import Number, Severity
from pincheck.model.role import split
from pincheck.model.threshold import Threshold
from pincheck.physics.protection import (
    FaultOutcome,
    Protection,
    heater_loose,
    sensor_falls_out,
    sensor_out_cold,
)

SPENT_TAUS = Threshold(
    5.0, "C / G", "time until a heater that came loose is cut: 99 % of the heat is gone",
    "exp(-5) < 0.01; common practice",
    below="agrees", above="danger: no reading says more then, and it glows or overheats",
)  # fmt: skip
BRIEF_K = Threshold(
    30.0, "K", "past what the weakest part stands, until the heater is cut",
    "common practice: it wears but is not destroyed at once",
    below="advice", above="danger",
)  # fmt: skip

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


Fault = Callable[[Scene, Protection], FaultOutcome]


def fallen_out(found: Scene, protection: Protection) -> FaultOutcome:
    """Return what happens when the sensor falls out in an ordinary print."""
    watts = found.heater.power_w
    return sensor_falls_out(found.block, watts, found.at_c, protection, found.ambient_c)


def out_at_warm_up(found: Scene, protection: Protection) -> FaultOutcome:
    """Return what happens when a warm-up starts with the sensor outside the block."""
    watts = found.heater.power_w
    return sensor_out_cold(found.block, watts, found.at_c, protection, found.ambient_c)


def loose(found: Scene, protection: Protection) -> FaultOutcome:
    """Return what happens when the heater leaves what it heats in an ordinary print."""
    watts = found.heater.power_w
    return heater_loose(found.block, watts, found.at_c, protection, found.ambient_c)


def of_ends(found: Scene, fault: Fault) -> tuple[FaultOutcome, ...]:
    """Return what comes of a fault: of the block as given, else of both ends of its band."""
    scenes = (found.slow, found.quick) if found.heated.assumed else (found,)
    return tuple(fault(scene, scene.protection) for scene in scenes)


def stays_below(found: Scene, fault: Fault) -> bool | str:
    """Return whether nothing gives way in a fault, over the bands of the block and its limit.

    Else False where something gives way over both, or on what it depends.
    """
    least, best = found.weakest, found.at_best
    assert least
    assert best

    def judged(bound: TemperatureBound) -> bool | str:
        return over_the_band(found, lambda it: stands(it, fault, bound, it.protection))

    if judged(least) is True:
        return True
    at_best = judged(best)
    group = split(found.wired.role)[0]
    return f"it {depends(least, group)}" if at_best is True else at_best


def stands(found: Scene, fault: Fault, bound: TemperatureBound, protection: Protection) -> bool:
    """Return whether a limit is kept in a fault under a protection."""
    return hottest_c(fault(found, protection)) <= bound.max_c


def between(figures: Iterable[float], unit: str) -> str:
    """Return "231 to 358 C", or one figure where both are the same when written."""
    ends = dict.fromkeys(f"{figure:.0f}" for figure in sorted(figures))
    return f"{' to '.join(ends)} {unit}"


def cut_and_heat(answers: tuple[FaultOutcome, ...]) -> str:
    """Return when the heater is cut and how hot what it heats is then."""
    cuts = [answer.cut_after_s for answer in answers if answer.cut_after_s is not None]
    hot = between(map(hottest_c, answers), "C")
    if len(cuts) < len(answers):
        return f"{'it is cut late or never' if cuts else 'nothing cuts it'}, up to {hot}"
    return f"the heater is cut after {between(cuts, 's')}, at {hot}"


def hottest(
    found: Scene, answers: tuple[FaultOutcome, ...], name: str, *, cold: bool = False
) -> tuple[Number, ...]:
    """Return how hot it gets, for both ends where the block is not known."""
    ends = ("",) if len(answers) == 1 else (", at least", ", at most")
    given = found.inputs(cold=cold)
    return tuple(
        Number(name + end, hottest_c(answer), "C", HEATS, given, SOURCE)
        for end, answer in zip(ends, answers, strict=True)
    )


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
    cut_near = answer.cut_after_s is not None and hottest_c(answer) <= bound.max_c + BRIEF_K
    return Severity.ADVICE if cut_near else Severity.DANGER


def unnoticed(found: Scene, answer: FaultOutcome) -> bool:
    """Return whether a loose heater is cut never, or only when there is nothing left to notice."""
    return answer.cut_after_s is None or answer.cut_after_s > SPENT_TAUS * found.block.tau_s
