"""The firmware assumes another reference resistor than the amplifier's.

A converter for platinum sensors gives their resistance as a share of its reference resistor,
usually 430 ohm for 100 ohm sensors and 4300 ohm for 1000 ohm ones. Firmware that computes with
another one takes the resistance wrong in proportion: 1 % too much is 5 K at 200 C.
"""

from pincheck.analysis import misreading as belief
from pincheck.analysis import roles
from pincheck.analysis.case import Case, fact
from pincheck.analysis.sensor_chain import SAME_REFERENCE, Chain, chain
from pincheck.model.finding import Agreement, Change, Finding, Severity, Unchecked
from pincheck.physics.divider import RtdAmplifier
from pincheck.rules.rule import Outcomes, example, rule

_AMPLIFIED = (
    "boards/heron-2.toml",
    'PC5"\npullup = { ohm = 4700, tolerance_pct = 1.0, to_v = 3.3 }',
    'PC5"\namplifier = "MAX31865"\nreference_ohm = 430',
)
_PLATINUM = (
    "marsh-230-c.toml",
    'at = "tool.thermistor"\npart = "ntc-100k-104gt-2"',
    'at = "tool.thermistor"\npart = "pt100"',
)


def _configured(reference_ohm: int) -> tuple[str, str, str]:
    return (
        "toolhead.cfg",
        "sensor_type: ATC Semitec 104GT-2\npullup_resistor: 4700",
        f"sensor_type: MAX31865\nrtd_nominal_r: 100\nrtd_reference_r: {reference_ohm}",
    )


@rule(
    Severity.DANGER,
    source="ratiometric conversion; IEC 60751",
    fires=example("section", _AMPLIFIED, _PLATINUM, _configured(400)),
    quiet=example("section", _AMPLIFIED, _PLATINUM, _configured(430)),
    thresholds=(SAME_REFERENCE,),
)
def sensor_reference_differs(case: Case) -> Outcomes:
    """Compare the assumed reference resistor with the one in the copper."""
    for wired in case.fitted("sensor"):
        if roles.family(wired.role) not in roles.ANALOG or not wired.path.reference_ohm:
            continue
        found = chain(case, wired)
        if isinstance(found, Unchecked):
            yield Unchecked(wired.role, "reference_ohm", found.reason)
        elif isinstance(found, Chain) and isinstance(found.assumed_divider, RtdAmplifier):
            taken, wanted = found.assumed_divider.reference_ohm, found.reference_wanted_ohm
            if found.same_ratio or abs(taken / wanted - 1) <= SAME_REFERENCE:
                yield Agreement(wired.role, "reference_ohm")
            else:
                yield _finding(case, found, wired.path.reference_ohm, taken)


def _finding(case: Case, found: Chain, fitted_ohm: float, taken_ohm: float) -> Finding:
    ends = f" for a {found.fitted.name}", f" for a {found.assumed.name}"
    fitted, assumed = ends if found.one_nominal and ends[0] != ends[1] else ("", "")
    rows, role = found.readings(), found.wired.role
    row = belief.worst(found, rows) or max(rows, key=lambda row: abs(row.error_c))
    claim = case.known(role, "reference_ohm")
    own = claim if claim and not isinstance(claim, Unchecked) else None
    return Finding(
        severity=belief.severity(case, found, row),
        spots=((role, "reference_ohm"),),
        message=(
            f"The amplifier of the {roles.name(role)} has a reference of {fitted_ohm:g} ohm"
            f"{fitted}, the firmware computes with {taken_ohm:g} ohm{assumed}: "
            f"{belief.sentence(case, found, row)}."
        ),
        claims=(own or found.claim,),
        facts=(fact(found.wired, "reference_ohm", f"{fitted_ohm:g} ohm"),),
        numbers=belief.numbers(found, rows),
        changes=(Change(role, "reference_ohm", found.reference_wanted_ohm, own),),
    )
