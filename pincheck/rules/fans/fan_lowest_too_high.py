"""The lowest duty of a fan leaves nothing of its range, or switches it off for good.

Firmware either raises a slower command to the lowest duty or takes it for off. Set near full speed
by a slip of the point, the part fan then knows nothing but off and full; and a fan that follows a
heater at less than what the firmware takes for off never turns at all.
"""

from pincheck import styles
from pincheck.analysis import roles
from pincheck.analysis.case import Case, fact, value
from pincheck.analysis.hotend_fans import standing_still
from pincheck.model.claim import Claim
from pincheck.model.finding import Change, Finding, Severity
from pincheck.model.path import Wired
from pincheck.model.threshold import Threshold
from pincheck.rules.rule import Outcomes, example, rule

_WASTED = Threshold(
    0.5, "share", "lowest duty of the part fan",
    "common practice: first layers, and plastics that warp, get a quarter to a half of the air",
    below="not judged", above="advice: a print that asks for less gets none, or far more",
)  # fmt: skip


@rule(
    Severity.DANGER,
    source="public sources of the styles",
    fires=example("section", ("toolhead.cfg", "off_below: 0.20", "off_below: 0.9")),
    quiet=example("section", ("toolhead.cfg", "off_below: 0.20", "off_below: 0.5")),
    thresholds=(_WASTED,),
)
def fan_lowest_too_high(case: Case) -> Outcomes:
    """Hold each fan's lowest duty against what it gets, a part fan's against its range."""
    for wired in case.fitted("fan"):
        lowest, on = case.known(wired.role, "min_duty"), case.known(wired.role, "on_power")
        if not isinstance(lowest, Claim):
            continue
        follows = isinstance(case.known(wired.role, "watches"), Claim)
        if follows and isinstance(on, Claim) and styles.of(case.claims.style).slow_is_off:
            if 0 < value(on) < value(lowest):
                yield _never_on(case, wired, on, lowest)
        elif roles.family(wired.role) == "part.fan" and value(lowest) > _WASTED:
            yield _wasted(wired, lowest)


def _never_on(case: Case, wired: Wired, on: Claim, lowest: Claim) -> Finding:
    role = wired.role
    return Finding(
        severity=standing_still(case, role),
        spots=((role, "min_duty"), (role, "on_power")),
        message=(
            f"The {roles.name(role)} gets {value(on):.0%} when it is on, and what is below "
            f"{value(lowest):.0%} counts as off: it {roles.left_alone(role)}."
        ),
        claims=(lowest, on),
        facts=(fact(wired, "on_power", wired.part.title or wired.part.id),),
        changes=(Change(role, "on_power", 1.0, on),),
    )


def _wasted(wired: Wired, lowest: Claim) -> Finding:
    role, needs = wired.role, wired.part.min_duty
    return Finding(
        severity=Severity.ADVICE,
        spots=((role, "min_duty"),),
        message=(
            f"The {roles.name(role)} knows nothing between off and {value(lowest):.0%}: a print "
            f"that asks for less gets none of it, or far more."
        ),
        claims=(lowest,),
        facts=(fact(wired, "min_duty", f"{needs:.0%}" if needs else wired.part.id),),
        changes=(Change(role, "min_duty", needs, lowest),) if needs else (),
    )
