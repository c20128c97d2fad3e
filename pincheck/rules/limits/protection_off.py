"""The firmware's thermal protection is switched off.

Thermal protection is what notices that a sensor fell out, a heater came loose or a temperature
does not follow: it cuts the power. Without it the firmware heats at full power until something
burns, and it cannot tell.
"""

from pincheck.analysis import roles
from pincheck.analysis.case import Case, fact
from pincheck.analysis.heater_faults import SOURCE, fallen_out
from pincheck.analysis.heater_scene import scene
from pincheck.model.claim import Claim
from pincheck.model.finding import Agreement, Change, Finding, Number, Severity, Unchecked
from pincheck.model.path import Wired
from pincheck.rules.rule import Outcomes, example, rule


@rule(
    Severity.DANGER,
    source="common practice",
    fires=example(
        "define",
        ("machine.h", "#define THERMAL_PROTECTION_HOTENDS", "//#define THERMAL_PROTECTION_HOTENDS"),
    ),
    quiet=example(
        "define",
        ("machine.h", "#define THERMAL_PROTECTION_CHAMBER", "//#define THERMAL_PROTECTION_CHAMBER"),
    ),
)
def protection_off(case: Case) -> Outcomes:
    """Look at the protection of every heater that is fitted or configured."""
    for role in case.roles:
        if roles.function(role) != "heater":
            continue
        claim = case.known(role, "protection")
        if isinstance(claim, Unchecked):
            yield claim
        elif claim is None:
            yield Unchecked(role, "protection", "the files do not say whether it is protected")
        elif claim.value:
            yield Agreement(role, "protection")
        else:
            yield _finding(role, claim, case)


def _finding(role: str, claim: Claim, case: Case) -> Finding:
    wired = case.trace.find(role)
    power = f" {wired.part.power_w:.0f} W" if wired and wired.part.power_w else ""
    settles = _settles(case, wired) if wired else None
    end = " until something burns"
    if settles:
        end = f"; without its sensor the {roles.heated(role)} settles at {settles.value:.0f} C"
    return Finding(
        spots=((role, "protection"),),
        message=(
            f"Nothing watches the{power} {roles.name(role)}: if its sensor falls out or its heater "
            f"comes loose, the firmware heats on at full power{end}."
        ),
        claims=(claim,),
        facts=(fact(wired, "protection", f"heater of{power}"),) if wired and power else (),
        numbers=(settles,) if settles else (),
        changes=(Change(role, "protection", True, claim),),
    )


def _settles(case: Case, wired: Wired) -> Number | None:
    """Return how hot it gets without its sensor, None where that is only a guess."""
    found = scene(case, wired, even_off=True)
    if isinstance(found, str) or found.heated.assumed:
        return None
    answer = fallen_out(found, found.protection)
    if answer.trips:
        return None
    name = "where it settles without its sensor"
    return Number(name, answer.peak_c, "C", "Ta + P / G, P = cap U^2 / R", found.inputs(), SOURCE)
