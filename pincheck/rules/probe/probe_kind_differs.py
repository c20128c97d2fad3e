"""The firmware takes the probe for another kind.

A probe that a servo's signal deploys stays up when the firmware takes it for a fixed one: its pin
never reaches the bed, and homing drives the nozzle into it. The other way round the firmware waits
for a pin that nobody moves.
"""

from pincheck.analysis.case import Case, fact
from pincheck.model.claim import Claim
from pincheck.model.finding import Agreement, Change, Finding, Severity, Unchecked
from pincheck.model.path import Wired
from pincheck.rules.rule import Outcomes, example, rule

_DEPLOYED = "servo-deployed"


@rule(
    Severity.DANGER,
    source="common practice",
    fires=example("gcode", ("toolhead.g", "M558 P9", "M558 P8")),
    quiet=example("gcode", ("toolhead.g", "M558 P9", "M558 K0 P9")),
)
def probe_kind_differs(case: Case) -> Outcomes:
    """Compare the kind of every probe whose pin is set with the fitted part's."""
    for wired in case.fitted("signal"):
        role, kind = wired.role, wired.part.probe_kind
        claim = case.known(role, "probe_kind")
        pin = case.claims.find(role, "pin") or case.known(role, "pin")
        # Where the pin is open, a number may still say that there is no probe at all.
        gone = isinstance(pin, Unchecked) and isinstance(claim, Claim) and claim.value == "none"
        if not kind or not (gone or isinstance(pin, Claim)):
            continue
        if isinstance(claim, Unchecked):
            yield claim
        elif claim and claim.value == kind:
            yield Agreement(role, "probe_kind")
        elif claim or (kind == _DEPLOYED and case.claims.has_words_for("probe_kind")):
            yield _finding(case, wired, claim)
        else:
            yield Unchecked(role, "probe_kind", "the files do not say what kind of probe it is")


def _finding(case: Case, wired: Wired, claim: Claim | None) -> Finding:
    role, kind = wired.role, wired.part.probe_kind
    taken = f"takes it for {claim.value}" if claim else "is not told so"
    taken = "is told that there is none" if claim and claim.value == "none" else taken
    if claim and claim.value == "none":
        effect = "nobody looks at it, and homing drives the nozzle into the bed"
    elif kind == _DEPLOYED:
        effect = "it stays up, and homing drives the nozzle into the bed"
    else:
        effect = "what is to deploy it moves nothing"
    return Finding(
        severity=Severity.DANGER if "into the bed" in effect else Severity.FAULT,
        spots=((role, "probe_kind"),),
        message=f"The fitted probe is {kind}, and the firmware {taken}: {effect}.",
        claims=tuple(filter(None, (claim or case.claims.find(role, "pin"),))),
        facts=(fact(wired, "probe_kind", wired.part.title or wired.part.id),),
        changes=() if claim else (Change(role, "probe_kind", kind),),
        advice=f"Set the probe up as {kind}.",
    )
