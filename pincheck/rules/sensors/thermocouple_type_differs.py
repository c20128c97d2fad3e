"""The converter is set to another type of thermocouple.

Each type gives another voltage at the same temperature. A converter that is set to the wrong one
is off by tens of kelvin, and reads too low where the set type gives more.
"""

from pincheck.analysis import roles
from pincheck.analysis.case import Case, fact, origin, part_of
from pincheck.model.claim import Claim
from pincheck.model.finding import (
    Agreement,
    Change,
    Finding,
    Input,
    Number,
    Severity,
    Unchecked,
)
from pincheck.model.path import Wired
from pincheck.physics.thermocouple import LETTERS, Thermocouple, read_as_c
from pincheck.rules.rule import Outcomes, example, rule
from pincheck.sensors import amplifier, sensor

_PROBED_C = 250.0
_ANY = "converter-thermocouple-any"
_WIRED = (
    (
        "boards/heron-2.toml",
        'PC5"\npullup = { ohm = 4700, tolerance_pct = 1.0, to_v = 3.3 }',
        'PC5"\namplifier = "MAX31856"',
    ),
    (
        "marsh-230-c.toml",
        'at = "tool.thermistor"\npart = "ntc-100k-104gt-2"',
        'at = "tool.thermistor"\npart = "thermocouple-k"',
    ),
)


def _configured(letter: str) -> tuple[str, str, str]:
    return (
        "toolhead.cfg",
        "sensor_type: ATC Semitec 104GT-2\npullup_resistor: 4700",
        f"sensor_type: MAX31856\ntc_type: {letter}",
    )


@rule(
    Severity.DANGER,
    source="ITS-90 reference functions, NIST Monograph 175",
    fires=example("section", *_WIRED, _configured("J")),
    quiet=example("section", *_WIRED, _configured("K")),
)
def thermocouple_type_differs(case: Case) -> Outcomes:
    """Compare the type that is set with the fitted one where the firmware chooses it."""
    for wired in case.fitted("sensor"):
        through = amplifier(wired.path.amplifier)
        fitted = sensor(wired.part.sensor).thermocouple if wired.part.sensor else None
        if through is None or through.id != _ANY or fitted is None:
            continue
        claim = case.known(wired.role, "thermocouple_type")
        if claim is None:
            reason = "the files do not say which type the converter is set to"
            yield Unchecked(wired.role, "thermocouple_type", reason)
        elif isinstance(claim, Unchecked):
            yield claim
        elif claim.value == fitted.letter:
            yield Agreement(wired.role, "thermocouple_type")
        elif set_ := next((it for it in LETTERS if it == claim.value), None):
            yield _finding(wired, claim, fitted, Thermocouple(set_))


def _finding(wired: Wired, claim: Claim, fitted: Thermocouple, taken: Thermocouple) -> Finding:
    believed = read_as_c(_PROBED_C, fitted, taken)
    low = believed < _PROBED_C
    then = "asked for that it heats beyond" if low else "asked for that it stays too cold"
    return Finding(
        severity=Severity.DANGER if low else Severity.FAULT,
        spots=((wired.role, "thermocouple_type"),),
        message=(
            f"The {roles.name(wired.role)} is a thermocouple of type {fitted.letter}, its "
            f"converter is set to type {taken.letter}: at a true {_PROBED_C:.0f} C the firmware "
            f"believes {believed:.0f} C; {then}."
        ),
        claims=(claim,),
        facts=(fact(wired, "thermocouple_type", f"type {fitted.letter}"),),
        numbers=(
            Number(
                f"believed at a true {_PROBED_C:.0f} C",
                believed,
                "C",
                "T of the set type at E_fitted(T) - E_fitted(Tj) + E_set(Tj)",
                (
                    Input("fitted type", fitted.letter, "", part_of(wired)),
                    Input("set type", taken.letter, "", origin(claim)),
                    Input("terminals", 25.0, "C", "assumed"),
                ),
                "ITS-90, NIST Monograph 175",
            ),
        ),
        changes=(Change(wired.role, "thermocouple_type", fitted.letter, claim),),
    )
