"""A script that an event starts undoes what start-up protects.

Homing, a tool change, a timer or an input run scripts of their own. What one of them sets stays:
a limit raised there, a thermostat taken away or a sensor changed holds from then on, and the
start-up script still looks as safe as before.
"""

from pincheck.analysis import roles
from pincheck.analysis.case import Case, origin, stated
from pincheck.model.attribute import ATTRIBUTES
from pincheck.model.claim import Claim, PinValue
from pincheck.model.finding import Finding, Severity, Unchecked
from pincheck.rules.rule import Outcomes, example, rule

_HIGHER = ("max_c", "trip_period_s", "trip_hysteresis_c", "threshold_c")
_OTHER = ("pin", "regulated_by", "table")
_GUARDED = ("heater", "sensor", "signal", "fan")


@rule(
    Severity.DANGER,
    source="public sources of the style",
    fires=example("gcode", ("homeall.g", "", "M143 H1 S400\n")),
    quiet=example("gcode", ("homeall.g", "", "M143 H1 S240\nM106 P0 S0\n")),
)
def undone_later(case: Case) -> Outcomes:
    """Hold what each such script changes against start-up; what it tightens is fine."""
    for claim in case.claims.later:
        was = case.claims.find(claim.role, claim.attribute)
        family = roles.family(claim.role)
        if roles.function(claim.role) not in _GUARDED or family == "part.fan":
            continue
        if claim.attribute == "on_power" and case.claims.find(claim.role, "watches"):
            continue  # what it watches decides
        if was and _worse(was, claim):
            yield _finding(was, claim)
        elif claim.unknown and claim.attribute in (*_HIGHER, *_OTHER, "watches", "protection"):
            reason = f"{origin(claim)} may change it later: {claim.unknown}"
            yield Unchecked(claim.role, claim.attribute, reason)


def _worse(was: Claim, now: Claim) -> bool:
    if now.unknown:
        return False
    if now.attribute in _HIGHER:
        numbers = isinstance(was.value, int | float) and isinstance(now.value, int | float)
        return numbers and stated(now) > stated(was)
    if now.attribute == "on_power":
        return now.role.startswith("hotend") and not now.value and bool(was.value)
    if now.attribute == "pin":
        return _place(was) is not None and _place(was) != _place(now)
    if now.attribute == "probe_kind":
        return now.value == "none"
    if now.attribute == "protection":
        return now.value is False
    return now.attribute in ("watches", *_OTHER)


def _place(claim: Claim) -> object:
    return claim.value.place if isinstance(claim.value, PinValue) else None


def _finding(was: Claim, now: Claim) -> Finding:
    return Finding(
        spots=((now.role, now.attribute),),
        message=(
            f"{origin(now)} runs after start-up and changes the "
            f"{ATTRIBUTES[now.attribute].words} of the {roles.name(now.role)} from {_said(was)} to "
            f"{_said(now)}: what start-up protects is undone from then on."
        ),
        claims=(now, was),
        advice=f"Take it out at {origin(now)}, or set there what start-up sets.",
    )


def _said(claim: Claim) -> str:
    value = claim.value
    if isinstance(value, int | float) and not isinstance(value, bool):
        return f"{value:g} {ATTRIBUTES[claim.attribute].unit}".strip()
    if claim.attribute in ("watches", "regulated_by"):
        return f"the {roles.name(str(value))}" if value != "none" else "none"
    written = getattr(value, "written", value)
    return str(written) or "none"
