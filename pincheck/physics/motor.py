"""Stepper motor currents: RMS and peak, sense resistors, drivers and contacts."""

import math

from attrs import frozen

from pincheck.physics.bounds import CURRENT, RATED_CURRENT, RESISTANCE, Range

_SENSE = Range("sense resistor", 0.001, 10.0, "ohm")
_FULL_SCALE = Range("full-scale voltage", 0.01, 5.0, "V")

FULL_SCALE_V = 0.325
"""Full-scale sense voltage of common register-set drivers (TMC2209 data sheet, from memory)."""

INTERNAL_OHM = 0.02
"""Resistance that these drivers add to the sense resistor (TMC2209 data sheet, from memory)."""


@frozen
class MotorLoad:
    """A motor's current against its driver and one contact, as shares of their ratings.

    A coil may stand at the peak of its sine for hours, so contacts see `peak_a`. A share is None
    where the rating is unknown.
    """

    rms_a: float
    peak_a: float
    driver_ratio: float | None
    contact_ratio: float | None


def peak_a(rms_a: float) -> float:
    """Return the coil current at the top of the sine, RMS x sqrt 2.

    Raises:
        ValueError: current outside its allowed range.
    """
    return CURRENT.check(rms_a) * math.sqrt(2)


def rms_a(peak_a: float) -> float:
    """Return the RMS current of a sine of this peak, peak / sqrt 2.

    Raises:
        ValueError: current outside its allowed range.
    """
    return CURRENT.check(peak_a) / math.sqrt(2)


def sense_limit_rms_a(sense_ohm: float, full_scale_v: float = FULL_SCALE_V) -> float:
    """Return the highest RMS current that a sense resistor lets the driver regulate.

    I = Ufs / (Rs + 0.02 ohm) / sqrt 2 (TMC2209 data sheet, from memory).

    Raises:
        ValueError: resistor or voltage outside its allowed range.
    """
    return rms_a(_FULL_SCALE.check(full_scale_v) / (_SENSE.check(sense_ohm) + INTERNAL_OHM))


def real_rms_a(set_rms_a: float, assumed_ohm: float, fitted_ohm: float) -> float:
    """Return what flows when the firmware assumes another sense resistor than the fitted one.

    The driver regulates the voltage across its resistor, so I grows as
    (R assumed + 0.02) / (R fitted + 0.02).

    Raises:
        ValueError: current or a resistor outside its allowed range.
    """
    assumed, fitted = (_SENSE.check(ohm) + INTERNAL_OHM for ohm in (assumed_ohm, fitted_ohm))
    return CURRENT.check(set_rms_a) * assumed / fitted


def winding_loss_w(rms_a: float, phase_ohm: float) -> float:
    """Return the heat in both windings, 2 I^2 R.

    Raises:
        ValueError: current or resistance outside its allowed range.
    """
    return 2 * CURRENT.check(rms_a) ** 2 * RESISTANCE.check(phase_ohm)


def load(
    rms_a: float, driver_rms_a: float | None = None, contact_a: float | None = None
) -> MotorLoad:
    """Return a motor's current against the driver's RMS rating and one contact's rating.

    Raises:
        ValueError: current or a rating outside its allowed range.
    """
    top = peak_a(rms_a)
    return MotorLoad(
        rms_a,
        top,
        None if driver_rms_a is None else rms_a / RATED_CURRENT.check(driver_rms_a),
        None if contact_a is None else top / RATED_CURRENT.check(contact_a),
    )
