"""Homing waits for another pin than the probe's.

A machine without an end stop at the bottom homes on its probe. When homing still waits for the
pin of the end stop that is not there, nothing ever triggers, and the nozzle is driven into the
bed with the force of the motors.
"""

from pincheck.analysis import roles
from pincheck.analysis.case import Case, fact
from pincheck.model.claim import Claim, PinValue
from pincheck.model.finding import Agreement, Change, Finding, Severity, Unchecked
from pincheck.model.path import Wired
from pincheck.rules.rule import Outcomes, example, rule

_HOMED = "z.endstop"


@rule(
    Severity.DANGER,
    source="common practice",
    fires=example(
        "section", ("machine.cfg", "endstop_pin: probe:z_virtual_endstop", "endstop_pin: ^PC2")
    ),
    quiet=example(
        "section", ("machine.cfg", "endstop_pin: probe:z_virtual_endstop", "endstop_pin: ^PB1")
    ),
)
def homing_not_on_probe(case: Case) -> Outcomes:
    """Compare the pin that homing waits for with the probe's and with any fitted end stop's."""
    probe = case.trace.find("probe.signal")
    if probe is None or probe.place is None or probe.role in case.shorted:
        return
    claim = case.known(_HOMED, "homing_pin")
    if isinstance(claim, Unchecked):
        yield claim
    elif claim is None:
        yield Unchecked(_HOMED, "homing_pin", "the files do not say which pin homing waits for")
    elif isinstance(claim.value, PinValue) and not claim.value.absent:
        reached = case.trace.at(claim.value.place) if claim.value.place else ()
        stops = {probe.role, _HOMED}
        if claim.value.virtual or any(wired.role in stops for wired in reached):
            yield Agreement(_HOMED, "homing_pin")
        else:
            yield _finding(case, probe, claim, claim.value, reached)


def _finding(
    case: Case, probe: Wired, claim: Claim, pin: PinValue, reached: tuple[Wired, ...]
) -> Finding:
    assert probe.place is not None
    waits = case.at(pin.place) if pin.place else pin.written
    there = roles.listed([f"the {roles.name(wired.role)}" for wired in reached])
    verb = "are" if len(reached) > 1 else "is"
    return Finding(
        spots=((_HOMED, "homing_pin"),),
        message=(
            f"Homing waits for {waits}, where {there or 'nothing'} {verb} wired; the probe is on "
            f"{case.at(probe.place)}: nothing triggers and the nozzle is driven into the bed."
        ),
        claims=(claim,),
        facts=(fact(probe, "homing_pin", case.at(probe.place)),),
        changes=(Change(_HOMED, "homing_pin", PinValue("probe", virtual=True), claim),),
    )
