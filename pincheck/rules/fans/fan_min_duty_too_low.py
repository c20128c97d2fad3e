"""At its lowest duty, or when it is on, the fan does not start.

A fan needs a certain duty to start from rest. Where the firmware's own minimum is below that and
no kick at full power starts it, low settings leave it standing, though the firmware shows it as
running. A hot-end fan whose speed when on is that low stops after the kick at the latest, and a
power cap that low holds for the kick as well: the fan never turns.
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
    Severity,
    Unchecked,
)
from pincheck.model.path import Wired
from pincheck.physics.fan import KICK_S, start
from pincheck.rules.rule import Outcomes, example, rule

_DUTIES = {"min_duty": "lowest duty", "on_power": "duty when on", "max_power": "power cap"}


@rule(
    Severity.DANGER,
    source="lowest duty of the fitted part",
    fires=example(
        "section",
        ("toolhead.cfg", "off_below: 0.20", "off_below: 0.05"),
        ("toolhead.cfg", "kick_start_time: 0.3", "kick_start_time: 0"),
    ),
    quiet=example("section", ("toolhead.cfg", "off_below: 0.20", "off_below: 0.05")),
    thresholds=(KICK_S,),
)
def fan_min_duty_too_low(case: Case) -> Outcomes:
    """Compare each claimed minimum duty, and the one of a fan that is on, with what it needs."""
    for wired in case.fitted("fan"):
        role, needs = wired.role, wired.part.min_duty
        kick = case.known(role, "kick_start_s")
        kick_s = value(kick) if isinstance(kick, Claim) else 0.0
        cap = case.known(role, "max_power")
        if isinstance(cap, Claim) and needs is not None and 0 < value(cap) < needs:
            yield _finding(case, wired, cap, needs)
            continue
        for attribute in ("min_duty", "on_power"):
            lowest = case.known(role, attribute)
            watches = case.known(role, "watches") if attribute == "on_power" else lowest
            if watches is None:
                continue  # a fan on command starts with whatever the next command says
            if isinstance(watches, Unchecked) and isinstance(lowest, Claim):
                yield Unchecked(role, attribute, watches.reason)
            elif isinstance(lowest, Unchecked):
                if case.claims.find(role, attribute):
                    yield lowest
            elif lowest is None or (value(lowest) == 0 and attribute == "min_duty"):
                continue
            elif needs is None:
                if attribute == "min_duty":
                    yield Unchecked(role, attribute, f"part {wired.part.id} gives no lowest duty")
            elif start(value(lowest), needs, _helps(attribute, kick_s)) != "may stand still":
                yield Agreement(role, attribute)
            elif attribute == "on_power" or not isinstance(kick, Unchecked):
                yield _finding(case, wired, lowest, needs)


def _helps(attribute: str, kick_s: float) -> float:
    """Return the kick, in s, that keeps a fan turning: none at a speed that never rises again."""
    return 0.0 if attribute == "on_power" else kick_s


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
        message=f"The {roles.name(role)} needs {needs:.0%} to start and {told}.",
        claims=(lowest,),
        facts=(fact(wired, lowest.attribute, f"{needs:.0%}"),),
        numbers=(
            Number(
                "duty missing to start",
                100 * (needs - given),
                "%",
                f"duty needed - {_DUTIES[lowest.attribute]}",
                (claimed(lowest), Input("duty needed", 100 * needs, "%", part_of(wired))),
                "data sheet of the part",
            ),
        ),
        changes=(Change(role, lowest.attribute, 1.0 if always else needs, lowest),),
    )
