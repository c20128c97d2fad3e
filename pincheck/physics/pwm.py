"""PWM: which outputs share a timer, the resolution left at a frequency, software limits."""

import math
from collections import defaultdict
from collections.abc import Iterable, Iterator
from typing import Literal

from attrs import field

from pincheck.model.frozen import frozen
from pincheck.model.threshold import Threshold
from pincheck.physics.bounds import FREQUENCY, Range

SERVO_HZ = 50.0
"""Frame rate of hobby servos and servo-driven probes (`common practice`: a frame of 20 ms)."""

SAME_HZ = Threshold(
    0.02, "share", "frequency of one output of a timer over another's",
    "common practice: prescalers rarely meet the asked one better",
    below="agrees", above="fault: one frequency for both",
)  # fmt: skip

SOFTWARE_EVENT_S = 1e-4
"""Shortest on or off time that a software timer of a small chip keeps beside its other work
(`common practice`)."""

SOFTWARE_STEPS = Threshold(
    10.0, "", "duty steps of software PWM", "common practice: fewer are no control of anything",
    below="fault", above="agrees",
)  # fmt: skip

AVR_PRESCALERS = (1, 8, 64, 256, 1024)
"""Clock dividers of the AVR timers 0, 1, 3, 4 and 5 (ATmega2560 data sheet)."""

_BITS = Range("timer width", 2, 32, "bits")
_EVENT = Range("software event time", 1e-7, 1.0, "s")
_STEPS = Range("steps", 2, 65_536)

TimerKind = Literal["frequency", "channel", "taken"]


@frozen
class Output:
    """One PWM output as its pin drives it.

    `timer` and `channel` are the chip's ("TIM3" and "2"); an empty `timer` means that no
    hardware timer drives the pin, and such an output clashes with none. `hz` is None where the
    frequency is unknown. `exclusive` marks code that takes the whole timer, as servo
    libraries do on chips that time the pulses by interrupt.
    """

    name: str
    pin: str
    timer: str = ""
    channel: str = ""
    hz: float | None = field(default=None)
    exclusive: bool = False

    @hz.validator
    def _check_hz(self, _attribute: object, value: float | None) -> None:
        if value is not None:
            FREQUENCY.check(value)


@frozen
class Clash:
    """Outputs that cannot work together on one timer.

    "frequency": one timer has one frequency, the outputs ask for several. "channel": one
    channel (or its complement) has one duty, so different pins do the same. "taken": the exclusive
    outputs, named first, leave nothing of the timer to the others.
    """

    kind: TimerKind
    timer: str
    outputs: tuple[Output, ...]


def servo(name: str, pin: str, timer: str, channel: str = "", exclusive: bool = False) -> Output:
    """Return the output of a servo, which needs its timer at `SERVO_HZ`."""
    return Output(name, pin, timer, channel, SERVO_HZ, exclusive)


def clashes(outputs: Iterable[Output]) -> Iterator[Clash]:
    """Yield the clashes of outputs, timer by timer in the order of the outputs.

    An output of unknown frequency is left out of the comparison of frequencies: without clash
    it is not checked, not agreed.
    """
    by_timer: dict[str, list[Output]] = defaultdict(list)
    for output in outputs:
        if output.timer:
            by_timer[output.timer].append(output)
    for timer, users in by_timer.items():
        takers = [user for user in users if user.exclusive]
        others = [user for user in users if not user.exclusive]
        if takers and others:
            yield Clash("taken", timer, (*takers, *others))
            continue
        timed = [user.hz for user in users if user.hz is not None]
        if timed and max(timed) > min(timed) * (1 + SAME_HZ):
            yield Clash("frequency", timer, tuple(user for user in users if user.hz is not None))
        yield from _shared_channels(timer, users)


def _shared_channels(timer: str, users: list[Output]) -> Iterator[Clash]:
    by_channel: dict[str, list[Output]] = defaultdict(list)
    for user in users:
        if user.channel:
            by_channel[user.channel.upper().removesuffix("N")].append(user)
    for sharers in by_channel.values():
        if len({sharer.pin for sharer in sharers}) > 1:
            yield Clash("channel", timer, tuple(sharers))


def resolution_steps(
    timer_clock_hz: float, pwm_hz: float, bits: int, prescalers: tuple[int, ...] = ()
) -> int:
    """Return how many duty steps a timer leaves at a frequency.

    The period counts clock / (prescaler x frequency) ticks of a counter of `bits`; the smallest
    prescaler whose period fits counts, any whole one where none are given. 0 means that the
    timer cannot make the frequency: fewer than two ticks, or too slow for every prescaler.

    Raises:
        ValueError: clock, frequency or width outside its allowed range.
    """
    ticks = FREQUENCY.check(timer_clock_hz) / FREQUENCY.check(pwm_hz)
    most = 2 ** int(_BITS.check(bits))
    dividers: Iterable[int] = sorted(prescalers) or (max(1, math.ceil(ticks / most)),)
    fitting = (int(ticks / divider) for divider in dividers if ticks / divider <= most)
    steps = next(fitting, 0)
    return steps if steps >= 2 else 0


def software_max_hz(event_s: float = SOFTWARE_EVENT_S, steps: float = SOFTWARE_STEPS) -> float:
    """Return the highest frequency of software PWM, 1 / (event time x steps).

    A tick of 976.5625 Hz (16 MHz / 64 / 256) with 128 steps gives 7.63 Hz; halving the steps
    doubles it.

    Raises:
        ValueError: event time or steps outside its allowed range.
    """
    return 1 / (_EVENT.check(event_s) * _STEPS.check(steps))


def software_steps(pwm_hz: float, event_s: float = SOFTWARE_EVENT_S) -> int:
    """Return how many duty steps software PWM leaves at a frequency; 0 or 1 is no control.

    Raises:
        ValueError: frequency or event time outside its allowed range.
    """
    # The division of two decimals may fall a hair short of the whole number it stands for.
    return int(1 / (FREQUENCY.check(pwm_hz) * _EVENT.check(event_s)) * (1 + 1e-12))
