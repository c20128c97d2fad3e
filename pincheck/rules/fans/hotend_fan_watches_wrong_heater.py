"""The hot-end fan watches another heater, or a fan one that does not exist.

A hot-end fan that follows the bed runs only while the bed is warm. With a cold bed, or after the
bed is switched off, the hot end stays hot without its fan and jams. A fan that waits for what
nothing sets up never starts. A liner is cooked up to its upper end then, which is a danger.
"""

from collections.abc import Iterator

from pincheck.analysis import roles
from pincheck.analysis.case import Case, fact
from pincheck.analysis.hotend_fans import hotend_fans, standing_still
from pincheck.model.claim import Claim
from pincheck.model.finding import Agreement, Change, Finding, Severity, Unchecked
from pincheck.model.role import sibling
from pincheck.rules.rule import Outcomes, example, rule


@rule(
    Severity.DANGER,
    source="common practice",
    fires=example("section", ("toolhead.cfg", "heater: extruder", "heater: heater_bed")),
    quiet=example("section", ("toolhead.cfg", "heater: extruder", "heater: extruder, heater_bed")),
)
def hotend_fan_watches_wrong_heater(case: Case) -> Outcomes:
    """Compare the watched heater with the fan's own hot end."""
    own_heater = {fan.by: str(sibling(fan.wired.role, "heater")) for fan in hotend_fans(case)}
    for role in case.roles:
        claim = case.known(role, "watches")
        if isinstance(claim, Claim) and claim.value == "none":
            yield _waits_for_nothing(case, claim, own_heater.get(role))
    for fan in hotend_fans(case):
        role = fan.by
        claim = case.known(role, "watches")
        own = str(sibling(fan.wired.role, "heater"))
        if isinstance(claim, Unchecked):
            yield claim
        elif claim and claim.value == "none":
            continue
        elif isinstance(claim, Claim) and any(_watches(w, own) for w in _watched(case, role)):
            yield Agreement(role, "watches")
        elif isinstance(claim, Claim):
            mine, watched = roles.name(fan.wired.role), roles.name(str(claim.value))
            yield Finding(
                severity=standing_still(case, fan.wired.role),
                spots=((role, "watches"),),
                message=(
                    f"The {mine} starts with the {watched}, not with the {roles.name(own)}: with "
                    f"the {watched} cold it stands still at a hot end of 200 C, and the filament "
                    f"jams."
                ),
                claims=(claim,),
                facts=(fact(fan.wired, "watches", f"cools the {roles.name(own)}"),),
                changes=(Change(role, "watches", own, claim),),
            )


def _waits_for_nothing(case: Case, claim: Claim, own: str | None) -> Finding:
    """Tell of a fan that watches what no line sets up."""
    role = claim.role
    named = f" {claim.setting.value.strip()!r}" if claim.setting else ""
    return Finding(
        severity=standing_still(case, role) if own else Severity.FAULT,
        spots=((role, "watches"),),
        message=(
            f"The {roles.name(role)} watches{named}, and no heater or sensor of that name is set "
            f"up: the firmware refuses the line, or the fan never starts."
        ),
        claims=(claim,),
        changes=(Change(role, "watches", own, claim),) if own else (),
        advice="Name what it is to start with.",
    )


def _watched(case: Case, role: str) -> Iterator[str]:
    """Yield every heater that starts the fan: any of them is enough."""
    return (str(claim.value) for claim in case.claims.of(role) if claim.attribute == "watches")


def _watches(watched: str, heater: str) -> bool:
    """Watching the heater's own sensor is as good as watching the heater."""
    return watched in (heater, str(sibling(heater, "sensor")))
