"""The hot end is only switched fully on and off around its target.

What the heater gave before the sensor shows it still comes: with all its power up to the target a
block of little mass shoots past by many kelvin, sinks below, and does so again and again. Filament
pulses with it, and near its limit a liner is passed at each swing. A heavy bed does not mind.
"""

from pincheck.analysis import roles
from pincheck.analysis.case import Case, fact
from pincheck.analysis.heater_faults import SOURCE, between
from pincheck.analysis.heater_scene import Scene, scene
from pincheck.model.claim import Claim
from pincheck.model.finding import Agreement, Change, Finding, Number, Severity, Unchecked
from pincheck.model.path import Wired
from pincheck.rules.rule import Outcomes, example, rule


@rule(
    Severity.ADVICE,
    source="lumped thermal model; common practice",
    fires=example("gcode", ("toolhead.g", "D4.5 S1.00 V24.0", "D4.5 S1.00 V24.0 B1")),
    quiet=example("gcode", ("toolhead.g", "D4.5 S1.00 V24.0", "D4.5 S1.00 V24.0 B0")),
)
def hotend_bang_bang(case: Case) -> Outcomes:
    """Look how each hot end is regulated."""
    for wired in case.fitted("heater"):
        if roles.family(wired.role) != "hotend.heater":
            continue
        claim = case.known(wired.role, "bang_bang")
        if isinstance(claim, Unchecked):
            yield claim
        elif claim and claim.value is True:
            yield _finding(case, wired, claim)
        elif claim:
            yield Agreement(wired.role, "bang_bang")


def _finding(case: Case, wired: Wired, claim: Claim) -> Finding:
    found = scene(case, wired, even_off=True)
    numbers: tuple[Number, ...] = ()
    past = "far past it"
    if isinstance(found, Scene):
        numbers = tuple(_overshoot(end) for end in _ends(found))
        past = f"{between([n.value for n in numbers], 'K')} past {found.at_c:.0f} C"
    return Finding(
        spots=((wired.role, "bang_bang"),),
        message=(
            f"The {roles.name(wired.role)} is switched fully on below its target and off above "
            f"it: it swings {past} each time."
        ),
        claims=(claim,),
        facts=(fact(wired, "bang_bang", wired.part.title or wired.part.id),),
        numbers=numbers,
        changes=(Change(wired.role, "bang_bang", False, claim),),
        advice="Let the firmware tune its control of the hot end.",
    )


def _ends(found: Scene) -> tuple[Scene, ...]:
    return (found.slow, found.quick) if found.heated.assumed else (found,)


def _overshoot(found: Scene) -> Number:
    """Return what still comes once the target is reached: the rise during lag and dead time."""
    block = found.block
    spare_w = found.heater.power_w - block.loss_w_k * (found.at_c - found.ambient_c)
    late_s = block.sensor_lag_s + block.dead_time_s
    over_k = max(spare_w, 0.0) / block.heat_capacity_j_k * late_s
    formula = "(P - G (T - Ta)) / C x (lag + dead time)"
    return Number("overshoot", over_k, "K", formula, found.inputs(cold=True), SOURCE)
