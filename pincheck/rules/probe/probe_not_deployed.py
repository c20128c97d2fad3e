"""The script that is to deploy the probe leaves its pin up, or the other one leaves it down.

The firmware runs a script of its own before each tap and another behind it. Where the first does
not put the pin down, nothing touches the bed but the nozzle. Where the second does not lift it, the
pin is dragged over the print and breaks, and the next tap is no longer seen.
"""

from pincheck.analysis.case import Case, fact
from pincheck.model.claim import Claim
from pincheck.model.finding import Agreement, Finding, Severity, Unchecked
from pincheck.model.path import Wired
from pincheck.rules.rule import Outcomes, example, rule

_DOES = {"deployed_by": "deploy", "stowed_by": "stow"}
_EFFECT = {
    "deployed_by": "the pin stays up, and homing drives the nozzle into the bed",
    "stowed_by": "the pin stays down, is dragged over the print and breaks",
}


@rule(
    Severity.DANGER,
    source="public sources of the style",
    fires=example("gcode", ("deployprobe.g", "", "M280 P0 S90\n")),
    quiet=example("gcode", ("deployprobe.g", "", "M280 P0 S10\n")),
)
def probe_not_deployed(case: Case) -> Outcomes:
    """Look at what each script sends the probe's servo last."""
    for wired in case.fitted("servo"):
        for attribute, must in _DOES.items():
            claim = case.known(wired.role, attribute)
            if isinstance(claim, Unchecked):
                if case.claims.find(wired.role, attribute):
                    yield claim
            elif claim and claim.value == must:
                yield Agreement(wired.role, attribute)
            elif claim:
                yield _finding(wired, claim, must)


def _finding(wired: Wired, claim: Claim, must: str) -> Finding:
    sends = (
        "sends it no command" if claim.value == "nothing" else f"lets its servo {claim.value} it"
    )
    return Finding(
        severity=Severity.DANGER if must == "deploy" else Severity.FAULT,
        spots=((wired.role, claim.attribute),),
        message=f"The script that is to {must} the probe {sends}: {_EFFECT[claim.attribute]}.",
        claims=(claim,),
        facts=(fact(wired, claim.attribute, "its pin follows the servo signal"),),
        advice=f"Send the servo the command to {must} in that script, and none behind it.",
    )
