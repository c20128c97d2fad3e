"""Every output that the firmware drives by PWM, with the timers that its pin offers."""

from collections.abc import Iterator

from pincheck.analysis import roles
from pincheck.analysis.case import Case, value
from pincheck.analysis.pairings import pairings
from pincheck.chips import TimerChannel
from pincheck.model.claim import Claim, Place
from pincheck.model.finding import Unchecked
from pincheck.model.frozen import frozen
from pincheck.physics.pwm import SERVO_HZ


@frozen
class PwmOutput:
    """One output: `hz` is None where nothing certain is claimed, `software` where it is unsaid.

    `hardware` tells whether the firmware certainly uses a hardware timer, `right` whether the pin
    is the one that the wiring wants: of a wrong one no more need be said.
    """

    role: str
    pin: Claim
    place: Place
    frequency: Claim | None
    hz: float | None
    software: Claim | None
    hardware: bool
    right: bool
    timers: tuple[TimerChannel, ...] | None
    """None where nobody knows the chip's timers."""


def outputs(case: Case) -> Iterator[PwmOutput]:
    """Yield every claimed output with a certain pin."""
    for pairing in pairings(case):
        if roles.function(pairing.role) not in roles.DRIVEN - {"motor"}:
            continue
        servo = roles.function(pairing.role) == "servo"
        frequency = case.known(pairing.role, "pwm_hz")
        software = case.known(pairing.role, "software_pwm")
        claim = frequency if isinstance(frequency, Claim) else None
        hz = value(claim) if claim else SERVO_HZ if servo and frequency is None else None
        yield PwmOutput(
            pairing.role,
            pairing.claim,
            pairing.place,
            claim,
            hz,
            software if isinstance(software, Claim) else None,
            _hardware(case, software),
            pairing.kind == "agrees",
            _timers(case, pairing.place),
        )


def _hardware(case: Case, software: Claim | Unchecked | None) -> bool:
    if isinstance(software, Claim):
        return software.value is False
    # Firmware that has no key for it takes a timer wherever the pin has one.
    return software is None and "software_pwm" not in case.claims.attributes


def _timers(case: Case, place: Place) -> tuple[TimerChannel, ...] | None:
    chip, pin = case.chip_on(place.board), case.chip_pin(place)
    if chip is None or pin is None or "timers" not in chip.knows or chip.pwm_on_any_pin:
        return None
    return pin.timers
