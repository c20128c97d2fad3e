"""The most duty steps that a pin's hardware timers leave at a frequency."""

from pincheck.analysis.case import Case
from pincheck.analysis.pwm_outputs import PwmOutput
from pincheck.model.finding import Input
from pincheck.model.frozen import frozen
from pincheck.physics.pwm import AVR_PRESCALERS, resolution_steps


@frozen
class Steps:
    """Steps between off and full of one timer at its highest clock; `source` is the chip's."""

    steps: int
    timer: str
    inputs: tuple[Input, ...]
    source: str


def most_steps(case: Case, output: PwmOutput) -> Steps | None:
    """Return the best of the pin's timers, None where a width or clock of one is not known.

    The firmware may clock a timer lower and then has fewer steps, never more.
    """
    chip = case.chip_on(output.place.board)
    if chip is None or not output.timers or output.hz is None:
        return None
    dividers = AVR_PRESCALERS if chip.family == "avr" else ()
    found = []
    for name in dict.fromkeys(channel.timer for channel in output.timers):
        timer = chip.timers.get(name)
        if timer is None or timer.bits is None or timer.clock_max_hz is None:
            return None
        steps = resolution_steps(timer.clock_max_hz, output.hz, timer.bits, dividers)
        given = (
            Input("highest timer clock", timer.clock_max_hz, "Hz", f"{name} of {chip.name}"),
            Input("width", timer.bits, "bits", f"{name} of {chip.name}"),
        )
        found.append(Steps(steps, name, given, chip.basis.source))
    return max(found, key=lambda item: item.steps)
