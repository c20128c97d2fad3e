"""Power and current of a resistive heater (Ohm's law; resistance taken as constant when hot)."""

import math

from pincheck.model.frozen import frozen
from pincheck.physics.bounds import DUTY, RATED_POWER, RESISTANCE, TOLERANCE, VOLTAGE


@frozen
class ToleranceBand:
    """A figure with the lowest and highest value that the tolerances allow (worst case)."""

    low: float
    nominal: float
    high: float


def element_ohm(rated_v: float, rated_w: float) -> float:
    """Return the resistance of an element from its rating, R = U^2 / P.

    Raises:
        ValueError: voltage or power outside its allowed range.
    """
    return VOLTAGE.check(rated_v) ** 2 / RATED_POWER.check(rated_w)


def current_a(volt: float, ohm: float) -> float:
    """Return the current while the switch is on, I = U / R; a duty cap does not lower it.

    Raises:
        ValueError: voltage or resistance outside its allowed range.
    """
    return VOLTAGE.check(volt) / RESISTANCE.check(ohm)


def rms_current_a(volt: float, ohm: float, duty: float) -> float:
    """Return the current that heats copper and contacts as much as the pulses, I sqrt(duty).

    Raises:
        ValueError: voltage, resistance or duty outside its allowed range.
    """
    return current_a(volt, ohm) * math.sqrt(DUTY.check(duty))


def power_w(volt: float, ohm: float, duty: float = 1.0) -> float:
    """Return the mean power, P = duty U^2 / R, `duty` being the firmware's cap (0 to 1).

    The cap holds only while firmware and switch work: take the default for any fault of theirs.

    Raises:
        ValueError: voltage, resistance or duty outside its allowed range.
    """
    return DUTY.check(duty) * VOLTAGE.check(volt) * current_a(volt, ohm)


def power_band_w(
    volt: float, ohm: float, ohm_pct: float, volt_pct: float = 0.0, duty: float = 1.0
) -> ToleranceBand:
    """Return the mean power in W with the tolerances of resistance and supply, worst case.

    Raises:
        ValueError: a figure outside its allowed range.
    """
    up_v, up_ohm = TOLERANCE.check(volt_pct) / 100, TOLERANCE.check(ohm_pct) / 100
    return ToleranceBand(
        power_w(volt * (1 - up_v), ohm * (1 + up_ohm), duty),
        power_w(volt, ohm, duty),
        power_w(volt * (1 + up_v), ohm * (1 - up_ohm), duty),
    )
