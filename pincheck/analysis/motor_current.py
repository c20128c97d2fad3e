"""The current that a motor really gets, whatever the firmware shows."""

import re

from pincheck.analysis.case import claimed, value
from pincheck.model.claim import Claim
from pincheck.model.finding import Input, Number
from pincheck.model.path import Wired
from pincheck.physics.motor import internal_ohm, real_rms_a

SET_BY_WIRE = re.compile(r"tmc\d{4}")
"""Types of drivers whose current the firmware sets; others have a trimmer."""

SOURCE = "current law of register-set drivers (data sheet, from memory)"


def ratio(wired: Wired, sense: Claim | None) -> Number | None:
    """Return real over shown current, None where either sense resistor is not known."""
    driver = wired.path.driver
    if sense is None or driver is None or not driver.sense_ohm:
        return None
    own = internal_ohm(driver.type)
    more = f" + {own:g} ohm" if own else ""
    over = f"(R assumed{more}) / (R fitted{more})" if own else "R assumed / R fitted"
    given = (claimed(sense), Input("sense resistor fitted", driver.sense_ohm, "ohm", "wiring"))
    real = real_rms_a(1.0, value(sense), driver.sense_ohm, own)
    return Number("real over shown current", real, "", over, given, SOURCE)


def real_current(wired: Wired, claim: Claim, sense: Claim | None) -> Number:
    """Return the RMS current that flows when the firmware asks for that of `claim`."""
    scaled = ratio(wired, sense)
    if scaled is None:
        return Number("real RMS current", value(claim), "A", "as claimed", (claimed(claim),))
    given = (claimed(claim), *scaled.inputs)
    amps = value(claim) * scaled.value
    return Number("real RMS current", amps, "A", f"I x {scaled.formula}", given, SOURCE)
