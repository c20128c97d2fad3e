"""If the sensor is out before the warm-up, the heater is cut too late.

A sensor that was left hanging beside the block reads ambient all the time. The firmware heats at
full power and waits for a rise. Where it waits long, or nothing watches for a rise at all, the
block gets past what its weakest part stands, unseen.
"""

from pincheck.analysis import roles
from pincheck.analysis.case import Case
from pincheck.analysis.heater_faults import (
    BRIEF_K,
    cut_and_heat,
    hottest,
    of_ends,
    out_at_warm_up,
    severity,
    stands,
    stays_below,
    time_to_cut,
)
from pincheck.analysis.heater_scene import Scene, scene
from pincheck.analysis.protection_settings import RISING
from pincheck.analysis.usual_settings import tightened
from pincheck.analysis.weakest_limit import TemperatureBound, beyond
from pincheck.model.finding import Agreement, Fact, Finding, Outcome, Severity, Unchecked
from pincheck.rules.rule import Outcomes, example, rule

_SEAT = "Seat and clamp the sensor, and see its reading rise within the first seconds."
_WEAKER = "No usual setting cuts in time and lets a normal warm-up pass: fit a weaker heater."
_ADVANCED = "machine_adv.h"


@rule(
    Severity.DANGER,
    source="lumped thermal model in closed form, the firmware's own protection settings",
    fires=example(
        "define", (_ADVANCED, "#define WATCH_TEMP_PERIOD 40", "#define WATCH_TEMP_PERIOD 590")
    ),
    quiet=example(
        "define", (_ADVANCED, "#define WATCH_TEMP_PERIOD 40", "#define WATCH_TEMP_PERIOD 90")
    ),
    thresholds=(BRIEF_K,),
)
def sensor_out_at_warm_up(case: Case) -> Outcomes:
    """Warm each protected heater up with its sensor in the air."""
    for wired in case.fitted("heater"):
        role, found = wired.role, scene(case, wired)
        if isinstance(found, str):
            yield Unchecked(role, "watch_period_s", found)
            continue
        answer = out_at_warm_up(found, found.protection)
        if answer.unknown:
            yield Unchecked(role, found.watched_by, answer.unknown)
        elif not (found.weakest and found.at_best):
            yield Unchecked(role, found.watched_by, "the wiring states no limit of what is heated")
        else:
            yield _judged(found, found.weakest, found.at_best)


def _judged(found: Scene, least: TemperatureBound, best: TemperatureBound) -> Outcome:
    judged = stays_below(found, out_at_warm_up)
    if isinstance(judged, str):
        return Unchecked(found.wired.role, found.watched_by, judged)
    if judged:
        return Agreement(found.wired.role, found.watched_by)
    return _finding(found, least, best)


def _finding(found: Scene, least: TemperatureBound, bound: TemperatureBound) -> Finding:
    role, answers = found.wired.role, of_ends(found, out_at_warm_up)
    answer = out_at_warm_up(found, found.protection)
    changes = tightened(
        found,
        RISING[found.protection.kind],
        lambda it, tried: stands(it, out_at_warm_up, least, tried),
    )
    return Finding(
        severity=severity(answer, bound),
        spots=((role, found.watched_by),),
        message=(
            f"If the sensor hangs beside the {roles.heated(role)} before it warms up, "
            f"{cut_and_heat(answers)}: the {bound.what} stands {bound.max_c:.0f} C, above that "
            f"{beyond(bound.what)}."
        ),
        claims=found.rising,
        facts=(Fact(role, "max_c", f"{bound.what}: {bound.max_c:.0f} C", at=bound.at),),
        numbers=(
            *hottest(
                found,
                answers,
                "temperature at the cut" if answer.trips else "where it settles",
                cold=True,
            ),
            *time_to_cut(found, answers[0], cold=True),
        ),
        changes=changes,
        advice=_SEAT if changes else _WEAKER,
    )
