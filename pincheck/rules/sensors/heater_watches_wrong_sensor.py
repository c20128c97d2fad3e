"""A heater is regulated by the sensor of another one.

A heater is switched by what its sensor shows. One that follows a sensor elsewhere stays on at
full power for as long as that sensor is cold, whatever its own temperature, and its limits look
at the wrong part as well. Only a check of the rise may stop it.
"""

from pincheck.analysis import roles
from pincheck.analysis.case import Case, fact
from pincheck.model.claim import Claim
from pincheck.model.finding import Agreement, Change, Finding, Severity, Unchecked
from pincheck.model.role import sibling
from pincheck.rules.rule import Outcomes, example, rule


@rule(
    Severity.DANGER,
    source="common practice",
    fires=example("gcode", ("toolhead.g", 'C"e0heat" T1', 'C"e0heat" T0')),
    quiet=example(
        "gcode",
        ("toolhead.g", 'C"e0heat" T1', 'C"e0heat" T5'),
        ("toolhead.g", "M308 S1", "M308 S5"),
        ("toolhead.g", "M106 P1 S1 H1", "M106 P1 S1 H5"),
    ),
)
def heater_watches_wrong_sensor(case: Case) -> Outcomes:
    """Compare the sensor that each heater names with the one fitted beside it."""
    for wired in case.fitted("heater"):
        role = wired.role
        claim = case.known(role, "regulated_by")
        own = str(sibling(role, "sensor"))
        beside = case.trace.find(own)
        if isinstance(claim, Unchecked):
            yield claim
        elif isinstance(claim, Claim) and claim.value == "none":
            yield Finding(
                spots=((role, "regulated_by"),),
                severity=Severity.FAULT,
                message=(
                    f"No sensor regulates the {roles.name(role)}: the firmware cannot tell its "
                    f"temperature, takes that for a fault and never heats it."
                ),
                claims=(claim,),
                facts=(fact(beside, "regulated_by", f"sits at the {roles.name(role)}"),)
                if beside
                else (),
                changes=(Change(role, "regulated_by", own, claim),),
            )
        elif isinstance(claim, Claim) and claim.value == own:
            yield Agreement(role, "regulated_by")
        elif isinstance(claim, Claim) and beside is None:
            yield Unchecked(
                role, "regulated_by", f"the wiring has no sensor of the {roles.name(role)}"
            )
        elif isinstance(claim, Claim) and beside:
            mine, other = roles.name(role), roles.name(str(claim.value))
            yield Finding(
                spots=((role, "regulated_by"),),
                message=(
                    f"The {mine} follows the {other} instead of the {roles.name(own)}: it stays on "
                    f"at full power while the {other} is cold, however hot it is itself."
                ),
                claims=(claim,),
                facts=(fact(beside, "regulated_by", f"sits at the {mine}"),),
                changes=(Change(role, "regulated_by", own, claim),),
            )
