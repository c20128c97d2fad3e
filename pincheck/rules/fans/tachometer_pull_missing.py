"""A fan's tachometer lacks the pull-up that it needs.

A tachometer is a transistor to ground that opens and closes with the turning rotor. Without a
resistor on a board or the chip's own pull-up nothing lifts the line while the transistor is open:
no pulse, or the motors' noise, is counted, and whatever stops a print for a dead fan stops it for
nothing or never.
"""

from pincheck.analysis import polarity
from pincheck.analysis.case import Case
from pincheck.model.finding import Severity, Unchecked
from pincheck.rules.fans.third_wire import tachometer
from pincheck.rules.pins.pull_differs import missing_pull
from pincheck.rules.rule import Outcomes, example, rule


@rule(
    Severity.FAULT,
    source="common practice",
    fires=example("section", *tachometer("tachometer_pin: PC6")),
    quiet=example("section", *tachometer("tachometer_pin: ^PC6")),
)
def tachometer_pull_missing(case: Case) -> Outcomes:
    """Compare the claimed pull of every tachometer with what its output needs."""
    for wired in case.fitted("tachometer"):
        if polarity.reads_input(wired):
            yield from missing_pull(case, wired)
        elif case.claims.find(wired.role, "pin"):
            yield Unchecked(
                wired.role, "pull", f"part {wired.part.id} does not say what its tachometer gives"
            )
