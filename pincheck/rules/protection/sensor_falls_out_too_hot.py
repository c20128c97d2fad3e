"""If the sensor falls out, the heater is cut too late.

A sensor that slips out of the block cools in the air. The firmware sees the temperature fall and
answers with full power until its protection gives up waiting. A strong heater gets the block past
what its weakest part stands in that time.
"""

from pincheck.analysis import roles
from pincheck.analysis.case import Case
from pincheck.analysis.heater_faults import (
    BRIEF_K,
    cut_and_heat,
    fallen_out,
    hottest,
    of_ends,
    severity,
    stands,
    stays_below,
    time_to_cut,
)
from pincheck.analysis.heater_scene import BELOW_LIMIT_K, Scene, scene
from pincheck.analysis.protection_settings import HOLDING
from pincheck.analysis.usual_settings import tightened
from pincheck.analysis.weakest_limit import TemperatureBound, beyond
from pincheck.model.finding import (
    Agreement,
    Fact,
    Finding,
    Outcome,
    Severity,
    Unchecked,
)
from pincheck.rules.rule import Outcomes, example, rule


@rule(
    Severity.DANGER,
    source="lumped thermal model in closed form, the firmware's own protection settings",
    fires=example(
        "define", ("machine_adv.h", "THERMAL_PROTECTION_PERIOD 20", "THERMAL_PROTECTION_PERIOD 60")
    ),
    quiet=example(
        "define", ("machine_adv.h", "THERMAL_PROTECTION_PERIOD 20", "THERMAL_PROTECTION_PERIOD 25")
    ),
    thresholds=(
        BRIEF_K,
        BELOW_LIMIT_K,
    ),
)
def sensor_falls_out_too_hot(case: Case) -> Outcomes:
    """Let the sensor of each protected heater fall out in an ordinary print."""
    for wired in case.fitted("heater"):
        found = scene(case, wired)
        if isinstance(found, str):
            yield Unchecked(wired.role, "trip_period_s", found)
            continue
        least, best = found.weakest, found.at_best
        if not (least and best) or least.max_c <= found.at_c:
            yield Unchecked(wired.role, "trip_period_s", "the wiring states no limit above a print")
            continue
        yield _judged(found, least, best)


def _judged(found: Scene, least: TemperatureBound, best: TemperatureBound) -> Outcome:
    judged = stays_below(found, fallen_out)
    if isinstance(judged, str):
        return Unchecked(found.wired.role, "trip_period_s", judged)
    if judged:
        return Agreement(found.wired.role, "trip_period_s")
    return _finding(found, least, best)


def _finding(found: Scene, least: TemperatureBound, bound: TemperatureBound) -> Finding:
    role, answers = found.wired.role, of_ends(found, fallen_out)
    return Finding(
        severity=severity(fallen_out(found, found.protection), bound),
        spots=((role, "trip_period_s"),),
        message=(
            f"If the sensor falls out at {found.at_c:.0f} C, {cut_and_heat(answers)}: "
            f"the {bound.what} stands {bound.max_c:.0f} C, above that {beyond(bound.what)}."
        ),
        claims=found.holding,
        facts=(Fact(role, "max_c", f"{bound.what}: {bound.max_c:.0f} C", at=bound.at),),
        numbers=(
            *hottest(found, answers, "temperature at the cut"),
            *time_to_cut(found, answers[0]),
        ),
        changes=tightened(
            found,
            HOLDING[found.protection.kind],
            lambda it, tried: stands(it, fallen_out, least, tried),
        ),
        advice=f"A weaker {roles.name(role)} or a tighter protection keeps it in bounds.",
    )
