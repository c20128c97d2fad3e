"""A setting is so far from ordinary that it switches a check off.

A protection that is in the way is seldom switched off by its switch: a 999 in one of its settings
does the same, and the file still looks protected. No ordinary machine needs a value near these
bounds; beyond them the firmware waits for something that never comes.
"""

import math
from collections.abc import Iterator

from pincheck.analysis import roles
from pincheck.analysis.case import Case, plausible, stated
from pincheck.analysis.usual_settings import usual
from pincheck.analysis.weakest_limit import bounds
from pincheck.model.attribute import ATTRIBUTES
from pincheck.model.claim import Claim
from pincheck.model.finding import Change, Finding, Severity
from pincheck.model.frozen import frozen
from pincheck.model.threshold import Threshold
from pincheck.rules.rule import Outcomes, example, rule


@frozen
class Bound:
    """Beyond `at` the effect sets in; `groups` are those that it holds for, all where empty."""

    attribute: str
    above: bool
    at: float
    effect: str
    severity: Severity = Severity.DANGER
    groups: tuple[str, ...] = ()


_NEVER_FALLS = "a temperature that falls away from its target is never noticed"
_NEVER_RISES = "a heater that does not warm up is not noticed"
_NEVER_ADDS_UP = "a lost temperature adds up for an hour or more before it is told"
BOUNDS = (
    Bound("trip_hysteresis_c", True, 100.0, _NEVER_FALLS),
    Bound("trip_hysteresis_c", False, 0.0, "every heating trips at once", Severity.FAULT),
    Bound("trip_period_s", False, 1.0, "the first dip stops the print", Severity.FAULT),
    Bound("trip_period_s", True, 600.0, _NEVER_FALLS),
    Bound("max_error_ks", True, 2000.0, _NEVER_ADDS_UP, groups=("hotend", "bed")),
    Bound("max_error_ks", True, 20_000.0, _NEVER_ADDS_UP),
    Bound("watch_period_s", True, 600.0, _NEVER_RISES, groups=("hotend",)),
    Bound("watch_period_s", True, 1800.0, _NEVER_RISES),
    Bound("watch_increase_c", False, 0.1, _NEVER_RISES),
    Bound("max_c", True, 550.0, "nothing of a hot end stands that, so there is no limit"),
    Bound("max_c", True, 250.0, "no heated bed stands that, so there is no limit", groups=("bed",)),
    Bound("overshoot_c", False, 0.0, "the heater may be set above its own limit"),
    Bound("max_power", True, 1.0, "it counts as full power", Severity.FAULT),
    Bound("max_power", False, 0.0, "it never heats", Severity.FAULT),
    Bound("min_extrude_c", False, 50.0, "cold filament is ground to dust", Severity.ADVICE),
    Bound("threshold_c", True, 250.0, "the fan hardly ever starts", Severity.FAULT),
    Bound("min_duty", True, 1.0, "it counts as full speed", Severity.FAULT),
    Bound("pwm_hz", True, 100_000.0, "no fan or switch follows that fast", Severity.FAULT),
    Bound("kick_start_s", True, 60.0, "it runs at full speed for that long", Severity.ADVICE),
)
"""Ten times the usual and more (`common practice`); no firmware warns of any of them."""


def _threshold(bound: Bound) -> Threshold:
    attribute, of = ATTRIBUTES[bound.attribute], " and ".join(bound.groups) or "any"
    beyond, ordinary = f"{bound.severity.word}: {bound.effect}", "not judged by this rule"
    return Threshold(
        bound.at,
        attribute.unit,
        f"{attribute.words} ({of})",
        "common practice: ten times the usual and more",
        below=ordinary if bound.above else beyond,
        above=beyond if bound.above else ordinary,
    )


@rule(
    Severity.DANGER,
    source="common practice",
    causes=("heater-loose-unnoticed", "sensor-falls-out-too-hot", "sensor-out-at-warm-up"),
    fires=example(
        "section",
        ("machine.cfg", "hysteresis: 5", "hysteresis: 999"),
    ),
    quiet=example("section", ("machine.cfg", "hysteresis: 5", "hysteresis: 15")),
    thresholds=tuple(map(_threshold, BOUNDS)),
)
def setting_out_of_range(case: Case) -> Outcomes:
    """Look at every certain number of a role that is claimed or fitted."""
    for role in case.roles:
        for attribute in sorted({claim.attribute for claim in case.claims.of(role)}):
            claim = case.claims.find(role, attribute)
            if claim is None or claim.doubt or not _is_number(claim):
                continue
            passed = next(_passed(claim), None) or _no_figure(claim) or _never_hot(case, claim)
            if passed and not _told_by_its_limit(case, claim):
                yield _finding(case, claim, passed)


def _is_number(claim: Claim) -> bool:
    if ATTRIBUTES[claim.attribute].kind != "number" or isinstance(claim.value, bool):
        return False
    return isinstance(claim.value, int | float) and not math.isnan(claim.value)


def _passed(claim: Claim) -> Iterator[Bound]:
    group = roles.family(claim.role).split(".")[0]
    for bound in BOUNDS:
        if bound.attribute != claim.attribute or (bound.groups and group not in bound.groups):
            continue
        if claim.attribute == "watch_period_s" and not claim.value:
            continue  # the watch is off, which is told where the protection is judged
        beyond = stated(claim) > bound.at if bound.above else stated(claim) < bound.at
        if beyond:
            yield bound


def _no_figure(claim: Claim) -> Bound | None:
    """Return the bound of a figure that no part has, None where one may have it."""
    low, high = plausible(claim)
    if low <= stated(claim) <= high:
        return None
    above = stated(claim) > high
    effect = "no part has such a figure"
    return Bound(claim.attribute, above, high if above else low, effect, Severity.FAULT)


def _never_hot(case: Case, claim: Claim) -> Bound | None:
    """Return the heater's own limit where filament is only pushed beyond it."""
    limit = case.known(claim.role, "max_c") if claim.attribute == "min_extrude_c" else None
    if not isinstance(limit, Claim) or stated(claim) <= stated(limit):
        return None
    effect = "the heater may not get that hot, and nothing is extruded or the firmware stops"
    return Bound("min_extrude_c", True, stated(limit), effect, Severity.FAULT)


def _told_by_its_limit(case: Case, claim: Claim) -> bool:
    """Tell whether the parts' own limits judge it: of a heater whose wiring states one."""
    return claim.attribute == "max_c" and any(bounds(case, claim.role.split(".")[0]))


def _finding(case: Case, claim: Claim, passed: Bound) -> Finding:
    attribute = ATTRIBUTES[claim.attribute]
    side = "above" if passed.above else "below"
    wanted = usual(case.claims, claim)
    return Finding(
        severity=passed.severity,
        spots=((claim.role, claim.attribute),),
        message=(
            f"The {attribute.words} of the {roles.name(claim.role)} is "
            f"{f'{stated(claim):g} {attribute.unit}'.strip()}, {side} anything ordinary "
            f"({f'{passed.at:g} {attribute.unit}'.strip()}): {passed.effect}."
        ),
        claims=(claim,),
        changes=() if wanted is None else (Change(claim.role, claim.attribute, wanted, claim),),
    )
