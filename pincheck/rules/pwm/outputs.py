"""Every output that the firmware drives by PWM, with the timers that its pin offers."""

from collections.abc import Iterator

from attrs import frozen

from pincheck.chips import TimerChannel
from pincheck.model.claim import Claim, Place
from pincheck.physics.pwm import SERVO_HZ
from pincheck.rules import words
from pincheck.rules.base import Case, value
from pincheck.rules.pins.mapping import pairings


@frozen
class Driven:
    """One output: `hz` is None where nothing certain is claimed, `software` where it is unsaid."""

    role: str
    pin: Claim
    place: Place
    frequency: Claim | None
    hz: float | None
    software: Claim | None
    timers: tuple[TimerChannel, ...] | None
    """None where nobody knows the chip's timers."""

    @property
    def hardware(self) -> bool:
        """Whether the firmware certainly uses a hardware timer."""
        return self.software is not None and self.software.value is False


def outputs(case: Case) -> Iterator[Driven]:
    """Yield every claimed output with a certain pin."""
    for pairing in pairings(case):
        if words.function(pairing.role) not in words.DRIVEN - {"motor"}:
            continue
        servo = words.function(pairing.role) == "servo"
        frequency = case.known(pairing.role, "pwm_hz")
        software = case.known(pairing.role, "software_pwm")
        claim = frequency if isinstance(frequency, Claim) else None
        hz = value(claim) if claim else SERVO_HZ if servo and frequency is None else None
        yield Driven(
            pairing.role,
            pairing.claim,
            pairing.place,
            claim,
            hz,
            software if isinstance(software, Claim) else None,
            _timers(case, pairing.place),
        )


def _timers(case: Case, place: Place) -> tuple[TimerChannel, ...] | None:
    chip, pin = case.chip_on(place.board), case.chip_pin(place)
    if chip is None or pin is None or "timers" not in chip.knows or chip.pwm_on_any_pin:
        return None
    return pin.timers
