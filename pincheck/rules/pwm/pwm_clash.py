"""Two outputs share a timer and want different frequencies.

All channels of one hardware timer run at one frequency. Where two outputs ask for different ones,
the last to be set wins: a fan whines or stalls, a servo loses its 50 Hz and twitches or stays
put, a solid-state relay gets pulses that it cannot follow.
"""

from itertools import combinations

from pincheck.analysis import roles
from pincheck.analysis.case import Case, claimed
from pincheck.analysis.pwm_outputs import PwmOutput, outputs
from pincheck.model.finding import Agreement, Change, Finding, Number, Severity
from pincheck.physics.pwm import SAME_HZ, Output, clashes
from pincheck.rules.rule import Outcomes, example, rule


@rule(
    Severity.FAULT,
    source="timer assignment in the chip makers' device data",
    fires=example(
        "gcode",
        (
            "boards/heron-2.toml",
            '[nets.SERVO0]\nchip_pin = "PA1"',
            '[nets.SERVO0]\nchip_pin = "PB7"',
        ),
        ("boards/heron-2.toml", '[nets.FAN1]\nchip_pin = "PB7"', '[nets.FAN1]\nchip_pin = "PA1"'),
        ("boards/heron-2.toml", 'servo0 = "PA1"', 'servo0 = "PB7"'),
        ("boards/heron-2.toml", 'fan1 = "PB7"', 'fan1 = "PA1"'),
    ),
    quiet=example("gcode", ("toolhead.g", 'M950 F1 C"fan0" Q250', 'M950 F1 C"fan0" Q25000')),
    thresholds=(SAME_HZ,),
)
def pwm_clash(case: Case) -> Outcomes:
    """Compare each pair of hardware PWM outputs on the same board, timer by timer."""
    timed = [o for o in outputs(case) if o.right and o.hardware and o.timers and o.hz is not None]
    clashing: set[str] = set()
    for one, other in combinations(timed, 2):
        if one.place == other.place or one.place.board != other.place.board:
            continue
        if timer := _forced(one, other):
            clashing |= {one.role, other.role}
            yield _finding(case, one, other, timer)
    for output in timed:
        if output.role not in clashing:
            yield Agreement(output.role, "pwm_hz")


def _forced(one: PwmOutput, other: PwmOutput) -> str:
    """Return the timer of a clash that no choice of timers avoids, empty where there is none."""
    timer = ""
    for mine in one.timers or ():
        for theirs in other.timers or ():
            pair = (
                Output(one.role, one.place.pin, mine.timer, mine.channel, one.hz),
                Output(other.role, other.place.pin, theirs.timer, theirs.channel, other.hz),
            )
            if not any(clash.kind == "frequency" for clash in clashes(pair)):
                return ""
            timer = mine.timer
    return timer


def _finding(case: Case, one: PwmOutput, other: PwmOutput, timer: str) -> Finding:
    # A servo cannot do without its 50 Hz, so the other one gives way.
    first, second = (other, one) if roles.function(one.role) == "servo" else (one, other)
    names = roles.name(first.role), roles.name(second.role)
    at = case.at(first.place), case.at(second.place)
    effect = (
        f"the {names[1]} loses its 50 Hz and does not move"
        if roles.function(second.role) == "servo"
        else "the one set last decides for both"
    )
    claims = tuple(o.frequency or o.pin for o in (first, second))
    inputs = tuple(claimed(o.frequency) for o in (first, second) if o.frequency)
    # No edit takes a heater's switch to a fan's 25 kHz, or a fan down to what suits a heater.
    alike = roles.function(first.role) == roles.function(second.role)
    change = Change(first.role, "pwm_hz", second.hz or 0.0, first.frequency)
    return Finding(
        spots=((first.role, "pwm_hz"), (second.role, "pwm_hz")),
        message=(
            f"The {names[0]} on {at[0]} asks for {first.hz:g} Hz and the {names[1]} on {at[1]} for "
            f"{second.hz:g} Hz, but {timer} drives both pins at one frequency: {effect}."
        ),
        claims=claims,
        numbers=(
            Number(f"frequency of {timer}", second.hz or 0.0, "Hz", "one counter, one frequency",
                   inputs, "device data of the chip"),
        ),
        changes=(change,) if alike else (),
        advice=f"Give both the same frequency, or move one to a pin of another timer than {timer}.",
    )  # fmt: skip
