"""Homing waits for another pin than the probe's.

A machine without an end stop at the bottom homes on its probe. When homing still waits for the
pin of the end stop that is not there, nothing ever triggers, and the nozzle is driven into the
bed with the force of the motors.
"""

from pincheck import styles
from pincheck.analysis import roles
from pincheck.analysis.case import Case, fact, origin
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
        "define", ("machine.h", "#define USE_PROBE_FOR_Z_HOMING\n", "#define Z_MIN_PIN PB1\n")
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
        yield _nothing_said(case, probe)
    elif isinstance(claim.value, PinValue) and claim.value.absent:
        if not case.trace.find(_HOMED):
            yield _nothing_ends_it(case, probe, claim)
    elif isinstance(claim.value, PinValue):
        reached = case.trace.at(claim.value.place) if claim.value.place else ()
        stops = {probe.role, _HOMED}
        if twice := _taken_by_probe(case, probe, claim, claim.value):
            yield twice
        elif claim.value.virtual or any(wired.role in stops for wired in reached):
            yield Agreement(_HOMED, "homing_pin")
        else:
            yield _finding(case, probe, claim, claim.value, reached)


def _nothing_ends_it(case: Case, probe: Wired, claim: Claim) -> Finding:
    """Return that homing is to end at an end stop, and neither one nor the probe is named."""
    assert probe.place is not None
    return Finding(
        severity=Severity.FAULT,
        spots=((_HOMED, "homing_pin"),),
        message=(
            f"Z homes until its end stop is hit, and no line says which pin that is; the probe is "
            f"on {case.at(probe.place)}: the firmware refuses to start, or to home."
        ),
        claims=(claim,),
        facts=(fact(probe, "homing_pin", case.at(probe.place)),),
        changes=(Change(_HOMED, "homing_pin", PinValue("probe", virtual=True), claim),),
    )


def _nothing_said(case: Case, probe: Wired) -> Finding | Unchecked:
    """Return that an axis which homes to its low end has neither a pin nor the probe for that.

    Headers that leave both out do not build (public sources of the style, from memory).
    """
    end = case.known(_HOMED, "homing_end")
    low = isinstance(end, Claim) and end.value == "low"
    told = isinstance(case.known(probe.role, "pin"), Claim) and not case.trace.find(_HOMED)
    if not (low and told and styles.of(case.claims.style).board_header):
        reason = "the files do not say which pin homing waits for"
        return Unchecked(_HOMED, "homing_pin", reason)
    assert isinstance(end, Claim)
    assert probe.place is not None
    return Finding(
        severity=Severity.FAULT,
        spots=((_HOMED, "homing_pin"),),
        message=(
            "Homing goes to the low end, and the files neither let it wait for the probe nor give "
            "an end stop there a pin: the build stops, or nothing ends the way to the bed."
        ),
        claims=(end,),
        facts=(fact(probe, "homing_pin", case.at(probe.place)),),
        changes=(Change(_HOMED, "homing_pin", PinValue("probe", virtual=True), None),),
    )


def _taken_by_probe(case: Case, probe: Wired, claim: Claim, pin: PinValue) -> Finding | None:
    """Return that the end stop asks for the very pin of the probe where only one line may."""
    own = case.known(probe.role, "pin")
    if (
        not isinstance(own, Claim)
        or not isinstance(own.value, PinValue)
        or own.value.place is None
        or not case.same(pin.place, own.value.place)
        or own.value.place in case.claims.allowed_twice
        or not styles.of(case.claims.style).one_setting_a_pin
    ):
        return None
    return Finding(
        severity=Severity.FAULT,
        spots=((_HOMED, "homing_pin"),),
        message=(
            f"{case.at(own.value.place)} is taken for the end stop and for the probe "
            f"({origin(own)}): the firmware refuses a pin that is named twice."
        ),
        claims=(claim, own),
        facts=(fact(probe, "homing_pin", case.at(own.value.place)),),
        changes=(Change(_HOMED, "homing_pin", PinValue("probe", virtual=True), claim),),
    )


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
