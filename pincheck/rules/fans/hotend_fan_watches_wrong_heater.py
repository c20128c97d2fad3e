"""The hot-end fan watches another heater.

A hot-end fan that follows the bed runs only while the bed is warm. With a cold bed, or after the
bed is switched off, the hot end stays hot without its fan and jams.
"""

from collections.abc import Iterator

from pincheck.analysis import roles
from pincheck.analysis.case import Case, fact
from pincheck.analysis.hotend_fans import hotend_fans
from pincheck.model.claim import Claim
from pincheck.model.finding import Agreement, Change, Finding, Severity, Unchecked
from pincheck.model.role import sibling
from pincheck.rules.rule import Outcomes, example, rule


@rule(
    Severity.FAULT,
    source="common practice",
    fires=example("section", ("toolhead.cfg", "heater: extruder", "heater: heater_bed")),
    quiet=example("section", ("toolhead.cfg", "heater: extruder", "heater: extruder, heater_bed")),
)
def hotend_fan_watches_wrong_heater(case: Case) -> Outcomes:
    """Compare the watched heater with the fan's own hot end."""
    for fan in hotend_fans(case):
        role = fan.by
        claim = case.known(role, "watches")
        own = str(sibling(fan.wired.role, "heater"))
        if isinstance(claim, Unchecked):
            yield claim
        elif isinstance(claim, Claim) and any(_watches(w, own) for w in _watched(case, role)):
            yield Agreement(role, "watches")
        elif isinstance(claim, Claim):
            mine, watched = roles.name(fan.wired.role), roles.name(str(claim.value))
            yield Finding(
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


def _watched(case: Case, role: str) -> Iterator[str]:
    """Yield every heater that starts the fan: any of them is enough."""
    return (str(claim.value) for claim in case.claims.of(role) if claim.attribute == "watches")


def _watches(watched: str, heater: str) -> bool:
    """Watching the heater's own sensor is as good as watching the heater."""
    return watched in (heater, str(sibling(heater, "sensor")))
