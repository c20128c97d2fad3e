"""What starts each fan, how fast it is switched and how slow it may turn."""

import math
from collections.abc import Iterator

from pincheck import styles
from pincheck.analysis import roles
from pincheck.analysis.hotend_fans import USUAL_C
from pincheck.analysis.pairings import home
from pincheck.analysis.tachometer import longest_poll, rounded_down_s
from pincheck.chips import chip as chip_named
from pincheck.claims import vocabulary
from pincheck.maker.pins import led
from pincheck.maker.want import CannotExpressError, Want
from pincheck.model.claim import Place
from pincheck.model.path import Trace, Wired
from pincheck.model.role import sibling
from pincheck.model.setting import StyleName
from pincheck.model.wiring import Assembly
from pincheck.physics.pwm import SERVO_HZ, software_max_hz

KICK_S = 0.3
"""Full power for this long turns a small fan from rest (`common practice`)."""


def fans(assembly: Assembly, trace: Trace, style: StyleName) -> Iterator[Want]:
    """Yield control and drive of every fan that has a pin of its own, and what it counts."""
    known = vocabulary(style).attributes
    for wired, _ in led(trace):
        role, part = wired.role, wired.part
        if roles.function(role) == "tachometer":
            if part.tachometer.pulses and "pulses" in known:
                yield Want(role, "pulses", part.tachometer.pulses, "pulses of one turn")
            longest = longest_poll(wired)
            if not isinstance(longest, str) and "poll_s" in known:
                why = f"half a pulse lasts {1000 * longest.value:.2f} ms at full speed"
                yield Want(role, "poll_s", rounded_down_s(longest.value), why)
        if roles.function(role) != "fan":
            continue
        if roles.family(role) == "hotend.fan":
            heater = str(sibling(role, "heater"))
            yield Want(role, "watches", heater, "runs whenever the hot end is warm")
            yield Want(role, "threshold_c", USUAL_C, "filament softens in the cold end at 60 C")
            yield Want(role, "on_power", 1.0, "full speed")
        elif roles.family(role) == "part.fan":
            if part.min_duty:
                yield Want(
                    role,
                    "min_duty",
                    part.min_duty,
                    f"{part.title or part.id} stands still below it",
                )
            yield Want(role, "kick_start_s", KICK_S, "turns the fan from rest")
        yield from _frequency(assembly, trace, wired, style)


def _frequency(assembly: Assembly, trace: Trace, wired: Wired, style: StyleName) -> Iterator[Want]:
    role, part, place = wired.role, wired.part, home(wired)
    software_too = "software_pwm" in vocabulary(style).attributes
    servos = (it for it in trace.wired if roles.function(it.role) == "servo")
    mate = next((it for it in servos if _one_timer(assembly, place, home(it))), None)
    if part.pwm_min_hz is None and part.pwm_max_hz is None:
        usual = styles.of(style).layout.fan_hz
        if usual and mate and not software_too:
            why = f"that of the {roles.name(mate.role)} on the same timer"
            yield Want(role, "pwm_hz", SERVO_HZ, why)
        elif usual:
            yield Want(role, "pwm_hz", usual, "usual for a fan of two wires")
        return
    low, high = part.pwm_min_hz or 1.0, part.pwm_max_hz or 1e6
    hz = float(f"{math.sqrt(low * high):.2g}")
    hz = hz if low <= hz <= high else low
    software = hz > software_max_hz()
    if mate and low <= SERVO_HZ <= high:
        hz, software = SERVO_HZ, False
    elif software and low <= software_max_hz() and not _has_timer(assembly, place):
        hz, software = low, False
    if software and not _has_timer(assembly, place):
        raise CannotExpressError(
            f"the {roles.name(role)} wants {hz:g} Hz, and {place} is the output of no timer: put "
            f"it on a pin with a timer, or fit a fan that takes {software_max_hz():g} Hz or less"
        )
    if software_too:
        yield Want(role, "software_pwm", not software, f"{hz:g} Hz take a timer of the chip")
    yield Want(role, "pwm_hz", hz, f"the fan wants {low:g} to {high:g} Hz")


def _one_timer(assembly: Assembly, one: Place | None, other: Place | None) -> bool:
    """Return whether two pins run at one frequency, whichever of their timers are chosen."""
    if not one or not other or one.board != other.board:
        return False
    known = chip_named(assembly.boards[one.board].chip)
    pins = [known.pins.get(it.pin) for it in (one, other)] if known else []
    timers = [{timer.timer for timer in pin.timers} for pin in pins if pin]
    return len(timers) == 2 and len(timers[0] | timers[1]) == 1


def _has_timer(assembly: Assembly, place: Place | None) -> bool:
    if place is None:
        return False
    known = chip_named(assembly.boards[place.board].chip)
    pin = known.pins.get(place.pin) if known else None
    return known is None or known.pwm_on_any_pin or pin is None or bool(pin.timers)
