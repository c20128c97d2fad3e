"""The firmware assumes another resistor in line with the sensor than there is.

What stands between a sensor and the pull-up adds to the sensor's resistance. Firmware subtracts
what it was told of, so one that is not there, or is not told, shifts every reading: little when
cold, most at printing heat, where a thermistor has a few hundred ohm.
"""

from attrs import evolve

from pincheck.analysis import misreading as belief
from pincheck.analysis import roles
from pincheck.analysis.case import Case, fact
from pincheck.analysis.sensor_chain import Chain, chain
from pincheck.model.claim import Claim
from pincheck.model.finding import Agreement, Change, Finding, Severity, Unchecked
from pincheck.physics.divider import Divider
from pincheck.rules.rule import Outcomes, example, rule

_PULLUP = "pullup_resistor: 4700"


@rule(
    Severity.DANGER,
    source="voltage divider; resistance tables of the sensors' makers",
    fires=example("section", ("toolhead.cfg", _PULLUP, f"{_PULLUP}\ninline_resistor: 200")),
    quiet=example("section", ("toolhead.cfg", _PULLUP, f"{_PULLUP}\ninline_resistor: 2")),
)
def series_resistor_differs(case: Case) -> Outcomes:
    """Compare the readings with the assumed and with the fitted resistor, all else as fitted."""
    for wired in case.fitted("sensor"):
        role = wired.role
        claim, found = case.known(role, "series_ohm"), chain(case, wired)
        if isinstance(claim, Unchecked):
            yield claim
        elif isinstance(found, Unchecked) and claim:
            yield Unchecked(role, "series_ohm", found.reason)
        elif isinstance(found, Chain) and isinstance(found.divider, Divider):
            assert isinstance(found.assumed_divider, Divider)
            taken_ohm = found.assumed_divider.series_ohm
            alone = evolve(
                found,
                assumed=found.fitted,
                assumed_curve=found.curve,
                assumed_divider=evolve(found.divider, series_ohm=taken_ohm),
            )
            if taken_ohm != found.divider.series_ohm and belief.worst(alone, alone.readings()):
                told = "series_ohm" in case.claims.attributes or not found.divider.series_ohm
                yield _finding(case, found, alone, taken_ohm, claim, told=told)
            elif claim or found.divider.series_ohm:
                yield Agreement(role, "series_ohm")


def _finding(
    case: Case, found: Chain, alone: Chain, taken_ohm: float, claim: Claim | None, *, told: bool
) -> Finding:
    assert isinstance(found.divider, Divider)
    role, fitted_ohm = found.wired.role, found.divider.series_ohm
    rows = alone.readings()
    row = belief.worst(alone, rows)
    assert row
    there = f"has {fitted_ohm:g} ohm" if fitted_ohm else "has no resistor"
    taken = f"computes with {taken_ohm:g} ohm" if taken_ohm else "knows of none"
    return Finding(
        severity=belief.severity(case, alone, row),
        spots=((role, "series_ohm"),),
        message=(
            f"The {roles.name(role)} {there} in line, the firmware {taken}: "
            f"{belief.sentence(case, alone, row)}."
        ),
        claims=(*((claim,) if claim else ()), found.claim),
        facts=(fact(found.wired, "series_ohm", f"{fitted_ohm:g} ohm in line"),),
        numbers=belief.numbers(alone, rows),
        changes=(Change(role, "series_ohm", fitted_ohm, claim),),
        advice="" if told else "Take the resistor out: these files cannot tell the firmware of it.",
    )
