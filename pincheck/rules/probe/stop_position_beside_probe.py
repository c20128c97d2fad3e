"""An axis that homes by the probe is given the position of an end stop, too.

The probe's own offset says where the axis is when it triggers. Firmware that is told both does not
know which to believe, and refuses to start.
"""

from pincheck.analysis import roles
from pincheck.analysis.case import Case
from pincheck.model.claim import Claim
from pincheck.model.finding import Change, Finding, Severity, Unchecked
from pincheck.rules.rule import Outcomes, example, rule

_BY_PROBE = "endstop_pin: probe:z_virtual_endstop   ; the probe homes Z"


@rule(
    Severity.FAULT,
    source="public sources of the style (from memory)",
    fires=example("section", ("machine.cfg", _BY_PROBE, f"{_BY_PROBE}\nposition_endstop: 0.5")),
    quiet=example("section", ("machine.cfg", _BY_PROBE, f"{_BY_PROBE}\n#position_endstop: 0.5")),
)
def stop_position_beside_probe(case: Case) -> Outcomes:
    """Look for such a position of every axis that homes by the probe."""
    for role in case.roles:
        claim = case.known(role, "stop_position") if roles.function(role) == "endstop" else None
        if isinstance(claim, Unchecked) and case.claims.find(role, "stop_position"):
            yield claim
        elif isinstance(claim, Claim):
            yield Finding(
                spots=((role, "stop_position"),),
                message=(
                    f"The probe is the {roles.name(role)}, and a position of {claim.value} is set "
                    f"for that: the firmware refuses to start."
                ),
                claims=(claim,),
                changes=(Change(role, "stop_position", None, claim),),
            )
