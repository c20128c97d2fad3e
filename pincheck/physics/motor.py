"""Stepper motor currents: RMS and peak, sense resistors, heat in the windings."""

import math

from pincheck.physics.bounds import CURRENT, RESISTANCE, Range

_SENSE = Range("sense resistor", 0.001, 10.0, "ohm")

INTERNAL_OHM = 0.02
"""Resistance of its own transistors' wiring that a driver senses in series with the resistor
(TMC2130, TMC2208 and TMC2209 data sheets, from memory)."""

_EXTERNAL = ("2160", "2660", "5160", "5161", "262")
"""Drivers with transistors outside, or a sense line of their own: they add nothing (data sheets
of TMC2160, TMC2660 and TMC5160, from memory)."""


def internal_ohm(driver_type: str) -> float:
    """Return what a driver of this type adds to its sense resistor, in ohm."""
    return 0.0 if driver_type.lower().removeprefix("tmc").startswith(_EXTERNAL) else INTERNAL_OHM


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


def real_rms_a(
    set_rms_a: float, assumed_ohm: float, fitted_ohm: float, own_ohm: float = INTERNAL_OHM
) -> float:
    """Return what flows when the firmware assumes another sense resistor than the fitted one.

    The driver regulates the voltage across its resistor and `own_ohm` (see `internal_ohm`), so I
    grows as (R assumed + own) / (R fitted + own).

    Raises:
        ValueError: current or a resistor outside its allowed range.
    """
    assumed, fitted = (_SENSE.check(ohm) + own_ohm for ohm in (assumed_ohm, fitted_ohm))
    return CURRENT.check(set_rms_a) * assumed / fitted


def winding_loss_w(rms_a: float, phase_ohm: float) -> float:
    """Return the heat in both windings, 2 I^2 R.

    Raises:
        ValueError: current or resistance outside its allowed range.
    """
    return 2 * CURRENT.check(rms_a) ** 2 * RESISTANCE.check(phase_ohm)
