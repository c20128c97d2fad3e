"""At its lowest duty, or when it is on, the fan does not turn.

A fan needs a certain duty to run. Where the firmware's own minimum is below that, low settings
leave it standing after a kick at full power at the latest, though the firmware shows it as running.
A hot-end fan whose speed when on is that low, or below what the firmware takes for off, never
turns; a power cap that low holds for the kick as well.
"""

from pincheck.analysis import roles
from pincheck.analysis.case import Case, claimed, fact, part_of, value
from pincheck.analysis.hotend_fans import standing_still
from pincheck.model.claim import Claim
from pincheck.model.finding import (
    Agreement,
    Change,
    Finding,
    Input,
    Number,
    Outcome,
    Severity,
    Unchecked,
)
from pincheck.model.path import Wired
from pincheck.rules.rule import Outcomes, example, rule

_DUTIES = {"min_duty": "lowest duty", "on_power": "duty when on", "max_power": "power cap"}


@rule(
    Severity.DANGER,
    source="lowest duty of the fitted part",
    fires=example("section", ("toolhead.cfg", "off_below: 0.20", "off_below: 0.05")),
    quiet=example("section", ("toolhead.cfg", "off_below: 0.20", "off_below: 0.25")),
)
def fan_min_duty_too_low(case: Case) -> Outcomes:
    """Compare each claimed minimum duty, and the one of a fan that is on, with what it needs."""
    for wired in case.fitted("fan"):
        role, needs = wired.role, wired.part.min_duty
        cap, lowest = case.known(role, "max_power"), case.known(role, "min_duty")
        if isinstance(cap, Claim) and needs is not None and 0 < value(cap) < needs:
            yield _finding(case, wired, cap, needs)
            continue
        if isinstance(lowest, Unchecked) and case.claims.find(role, "min_duty"):
            yield lowest
        elif isinstance(lowest, Claim) and value(lowest) > 0:
            yield _judged(case, wired, lowest, needs)
        watches, on = case.known(role, "watches"), case.known(role, "on_power")
        if watches is None:
            continue  # a fan on command starts with whatever the next command says
        if isinstance(watches, Unchecked) and isinstance(on, Claim):
            yield Unchecked(role, "on_power", watches.reason)
        elif isinstance(on, Unchecked):
            if case.claims.find(role, "on_power"):
                yield on
        elif on and needs is not None:
            yield _judged(case, wired, on, needs)


def _judged(case: Case, wired: Wired, lowest: Claim, needs: float | None) -> Outcome:
    """Judge a duty that the fan gets for good: no kick keeps it turning below its own lowest."""
    if needs is None:
        reason = f"part {wired.part.id} gives no lowest duty"
        return Unchecked(wired.role, lowest.attribute, reason)
    if value(lowest) < needs:
        return _finding(case, wired, lowest, needs)
    return Agreement(wired.role, lowest.attribute)


def _finding(case: Case, wired: Wired, lowest: Claim, needs: float) -> Finding:
    role, given = wired.role, value(lowest)
    capped = lowest.attribute == "max_power"
    always = capped or lowest.attribute == "on_power"
    if capped:
        told = f"the firmware caps it at {given:.0%}, a kick too: it {roles.left_alone(role)}"
    elif always:
        told = f"the firmware gives it {given:.0%} when it is on: it {roles.left_alone(role)}"
    else:
        shown = "it stands still while it is shown as running"
        told = f"the firmware lets it go down to {given:.0%}: {shown}"
    return Finding(
        severity=standing_still(case, role) if always else Severity.ADVICE,
        spots=((role, lowest.attribute),),
        message=f"The {roles.name(role)} needs {needs:.0%} to turn and {told}.",
        claims=(lowest,),
        facts=(fact(wired, lowest.attribute, f"{needs:.0%}"),),
        numbers=(
            Number(
                "duty missing to turn",
                100 * (needs - given),
                "%",
                f"duty needed - {_DUTIES[lowest.attribute]}",
                (claimed(lowest), Input("duty needed", 100 * needs, "%", part_of(wired))),
                "data sheet of the part",
            ),
        ),
        changes=(Change(role, lowest.attribute, 1.0 if always else needs, lowest),),
    )
