"""`thermocouple-type-differs`."""

import pytest

from pincheck.model.claim import Doubt, SensorValue
from pincheck.model.finding import Severity

RULE = "thermocouple-type-differs"
BOARD = "boards/heron-2.toml"
PULLUP = 'PC5"\npullup = { ohm = 4700, tolerance_pct = 1.0, to_v = 3.3 }'
PART = ("marsh-230-c.toml", 'part = "ntc-100k-104gt-2"', 'part = "thermocouple-k"')


def case_of(machine, letter, chip="MAX31856", **more):
    table = SensorValue(chip, "converter-thermocouple-any")
    claims = {("hotend.sensor", "table"): table, ("hotend.sensor", "thermocouple_type"): letter}
    wiring = ((BOARD, PULLUP, f'PC5"\namplifier = "{chip}"'), PART)
    return machine(claims, style="section", wiring=wiring, **more)


@pytest.mark.parametrize(
    ("letter", "severity", "believed_c", "then"),
    [
        ("J", Severity.DANGER, 193.7, "asked for that it heats beyond"),
        ("N", Severity.FAULT, 313.2, "asked for that it stays too cold"),
    ],
)
def test_what_the_set_type_makes_of_the_fitted_ones_voltage(
    machine, ask, letter, severity, believed_c, then
):
    """Type K at 250 C: 10.153 mV, at 25 C 1.000 mV (NIST Monograph 175): 9.153 mV are seen.

    A J converter adds 1.277 mV of its own junction: 10.431 mV, which is 193.7 C on the J table;
    an N converter adds 0.659 mV: 9.812 mV, 313.2 C on the N table.
    """
    found = ask(RULE, case_of(machine, letter)).finding
    assert found.severity is severity
    assert found.numbers[0].value == pytest.approx(believed_c, abs=0.05)
    assert found.message == (
        f"The hot-end sensor is a thermocouple of type K, its converter is set to type {letter}: "
        f"at a true 250 C the firmware believes {believed_c:.0f} C; {then}."
    )
    assert found.changes[0].value == "K"


def test_the_fitted_type_agrees(machine, ask):
    asked = ask(RULE, case_of(machine, "K"))
    assert not asked.findings
    assert asked.agreed == {("hotend.sensor", "thermocouple_type")}


def test_near_miss_a_converter_of_one_type_has_none_to_set(machine, ask):
    assert not ask(RULE, case_of(machine, "J", chip="MAX6675")).findings


def test_what_nobody_says_is_not_checked(machine, ask):
    missing = Doubt("sensors.cfg was not sent")
    asked = ask(RULE, case_of(machine, None, doubts=(missing,)))
    assert asked.unchecked["hotend.sensor", "thermocouple_type"] == missing.reason
    assert not asked.findings
