"""The part fan cools the hot end until its protection trips.

The part fan blows past the heater block. When the heater cannot make up for the extra loss, the
temperature sinks out of the allowed band and the firmware stops the print. A sock on the block, a
better duct or a stronger heater helps; a looser protection does not.
"""

from attrs import evolve

from pincheck.analysis import roles
from pincheck.analysis.case import Case, fact, value
from pincheck.analysis.heater_scene import Scene, scene, with_more_power
from pincheck.analysis.over_the_band import MEASURE, over_the_band
from pincheck.model.claim import Claim
from pincheck.model.finding import Agreement, Finding, Moment, Number, Severity, Unchecked
from pincheck.physics.protection import FaultOutcome, false_trip_fan
from pincheck.rules.rule import Outcomes, example, rule


@rule(
    Severity.FAULT,
    when=Moment.PRINTING,
    source="lumped thermal model in closed form, the firmware's own protection settings",
    fires=example("section", ("toolhead.cfg", "max_power: 1.0", "max_power: 0.7")),
    quiet=example("section", ("toolhead.cfg", "max_power: 1.0", "max_power: 0.9")),
)
def false_trip_by_fan(case: Case) -> Outcomes:
    """Start the part fan in an ordinary print, the controller answering at its best."""
    if not any(roles.family(wired.role) == "part.fan" for wired in case.trace.wired):
        return
    for wired in case.fitted("heater"):
        found = scene(case, wired)
        if isinstance(found, str) or roles.family(wired.role) != "hotend.heater":
            continue
        unsure = found.heated.assumed or found.heated.fan_assumed
        found = evolve(found, heated=evolve(found.heated, assumed=unsure))
        judged = over_the_band(found, _holds)
        if isinstance(judged, str):
            yield Unchecked(wired.role, "trip_hysteresis_c", _open(found) if unsure else judged)
            continue
        if judged:
            yield Agreement(wired.role, "trip_hysteresis_c")
            continue
        watts, sure = found.heater.power_w, found.quick if found.heated.assumed else found
        answer = _blown(sure)
        needed = _needed_w(sure)
        cap = case.known(wired.role, "max_power")
        capped = (cap,) if isinstance(cap, Claim) and value(cap) < 1 else ()
        least = "at least " if found.heated.assumed else ""
        yield Finding(
            spots=((wired.role, "trip_hysteresis_c"),),
            message=(
                f"With the part fan on, {found.at_c:.0f} C needs {least}{needed:.0f} W and the "
                f"{roles.name(wired.role)} gives {watts:.0f} W: the firmware stops the print "
                f"{answer.cut_after_s or 0.0:.0f} s after the fan starts."
            ),
            claims=(*found.holding, *capped),
            facts=(fact(wired, "trip_hysteresis_c", f"{watts:.0f} W"),),
            numbers=(
                Number(
                    "power needed with the fan",
                    needed,
                    "W",
                    "(G + Gfan) (T - Ta)",
                    found.inputs(),
                    "lumped thermal model",
                ),
            ),
            changes=with_more_power(found, lambda it: _holds(it.slow)),
            advice="Shield the block from the part fan's air, or fit a stronger heater.",
        )


def _needed_w(found: Scene) -> float:
    return found.block.with_fan().loss_w_k * (found.at_c - found.ambient_c)


def _open(found: Scene) -> str:
    least, most = map(_needed_w, (found.of(found.heated.light), found.of(found.heated.heavy)))
    return (
        f"{found.at_c:.0f} C in the part fan's air takes {least:.0f} to {most:.0f} W of the "
        f"{found.heater.power_w:.0f} W, and nobody measured the block: {MEASURE}"
    )


def _blown(found: Scene) -> FaultOutcome:
    watts = found.heater.power_w
    return false_trip_fan(found.block, watts, found.at_c, found.protection, found.ambient_c)


def _holds(found: Scene) -> bool:
    return not _blown(found).trips
