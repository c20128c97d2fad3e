"""If the sensor falls out, the heater is cut too late.

A sensor that slips out of the block cools in the air. The firmware sees the temperature fall and
answers with full power until its protection gives up waiting. A strong heater gets the block past
what its weakest part stands in that time.
"""

from pincheck.analysis import roles
from pincheck.analysis.case import Case
from pincheck.analysis.heater_faults import (
    HEATS,
    ONLY_IF_LIGHT,
    SOURCE,
    fallen_out,
    hottest_c,
    only_if_light,
    severity,
    time_to_cut,
)
from pincheck.analysis.heater_scene import Scene, scene
from pincheck.analysis.protection_settings import HOLDING
from pincheck.analysis.usual_settings import tightened
from pincheck.analysis.weakest_limit import TemperatureBound, beyond
from pincheck.model.finding import (
    Agreement,
    Fact,
    Finding,
    Number,
    Severity,
    Unchecked,
)
from pincheck.physics.protection import FaultOutcome as Answer
from pincheck.rules.rule import Outcomes, example, rule


@rule(
    Severity.DANGER,
    source="lumped thermal model in closed form, the firmware's own protection settings",
    fires=example(
        "define", ("machine_adv.h", "THERMAL_PROTECTION_PERIOD 40", "THERMAL_PROTECTION_PERIOD 60")
    ),
    quiet=example(
        "define", ("machine_adv.h", "THERMAL_PROTECTION_PERIOD 40", "THERMAL_PROTECTION_PERIOD 30")
    ),
)
def sensor_falls_out_too_hot(case: Case) -> Outcomes:
    """Let the sensor of each protected heater fall out in an ordinary print."""
    for wired in case.fitted("heater"):
        found = scene(case, wired)
        if isinstance(found, str):
            yield Unchecked(wired.role, "trip_period_s", found)
            continue
        bound = found.weakest
        if bound is None or bound.max_c <= found.at_c:
            yield Unchecked(wired.role, "trip_period_s", "the wiring states no limit above a print")
            continue
        answer = fallen_out(found, found.protection)
        if hottest_c(answer) <= bound.max_c:
            yield Agreement(wired.role, "trip_period_s")
        elif only_if_light(found, bound, fallen_out):
            yield Unchecked(wired.role, "trip_period_s", ONLY_IF_LIGHT)
        else:
            yield _finding(found, answer, bound)


def _finding(found: Scene, answer: Answer, bound: TemperatureBound) -> Finding:
    role = found.wired.role
    after = answer.cut_after_s
    when = f"the heater is cut after {after:.0f} s, at" if after else "nothing cuts it, up to"
    return Finding(
        severity=severity(answer, bound),
        spots=((role, "trip_period_s"),),
        message=(
            f"If the sensor falls out at {found.at_c:.0f} C, {when} {hottest_c(answer):.0f} C: "
            f"the {bound.what} stands {bound.max_c:.0f} C, above that {beyond(bound.what)}."
        ),
        claims=found.holding,
        facts=(Fact(role, "max_c", f"{bound.what}: {bound.max_c:.0f} C", at=bound.at),),
        numbers=(
            Number(
                "temperature at the cut",
                hottest_c(answer),
                "C",
                HEATS,
                found.inputs(),
                SOURCE,
            ),
            *time_to_cut(found, answer),
        ),
        changes=tightened(
            found,
            HOLDING[found.protection.kind],
            lambda tried: hottest_c(fallen_out(found, tried)) <= bound.max_c,
        ),
        advice=f"A weaker {roles.name(role)} or a tighter protection keeps it in bounds.",
    )
