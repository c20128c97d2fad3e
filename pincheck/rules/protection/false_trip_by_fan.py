"""The part fan cools the hot end until its protection trips.

The part fan blows past the heater block. When the heater cannot make up for the extra loss, the
temperature sinks out of the allowed band and the firmware stops the print. A sock on the block, a
better duct or a stronger heater helps; a looser protection does not.
"""

from pincheck.analysis import roles
from pincheck.analysis.case import Case, fact
from pincheck.analysis.heater_scene import scene, with_more_power
from pincheck.model.finding import (
    Agreement,
    Finding,
    Number,
    Severity,
    Unchecked,
)
from pincheck.physics.protection import false_trip_fan
from pincheck.rules.rule import Outcomes, example, rule


@rule(
    Severity.FAULT,
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
        watts = found.heater.power_w
        answer = false_trip_fan(found.block, watts, found.at_c, found.protection, found.ambient_c)
        if not answer.trips:
            yield Agreement(wired.role, "trip_hysteresis_c")
            continue
        if found.heated.fan_assumed:
            reason = "the wiring does not say how much the part fan cools the block"
            yield Unchecked(wired.role, "trip_hysteresis_c", reason)
            continue
        needed = found.block.with_fan().loss_w_k * (found.at_c - found.ambient_c)
        yield Finding(
            spots=((wired.role, "trip_hysteresis_c"),),
            message=(
                f"With the part fan on, {found.at_c:.0f} C needs {needed:.0f} W and the "
                f"{roles.name(wired.role)} gives {watts:.0f} W: the firmware stops the print "
                f"{answer.cut_after_s or 0.0:.0f} s after the fan starts."
            ),
            claims=found.holding,
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
            changes=with_more_power(found, needed.__le__),
            advice="Shield the block from the part fan's air, or fit a stronger heater.",
        )
