"""A part that has to be driven hangs on a pin that can only be read.

Some chips have pins without an output stage. The firmware may accept one as an output, but its
level never changes: what hangs on it is never switched. A pin that only pulls low switches
nothing on either unless a resistor on the board pulls it up.
"""

from pincheck.analysis import roles
from pincheck.analysis.case import Case
from pincheck.analysis.parts_on_pin import by_pin
from pincheck.model.finding import Finding, Severity
from pincheck.rules.pins.second_chip import spare_fan
from pincheck.rules.rule import Outcomes, example, rule


@rule(
    Severity.FAULT,
    source="pin lists of the chip makers' data sheets",
    fires=example("section", *spare_fan("gpio34")),
    quiet=example("section", *spare_fan("gpio33")),
)
def output_on_input_pin(case: Case) -> Outcomes:
    """Look up the output stage of each pin that a driven part hangs on."""
    for found in by_pin(case):
        if not any(roles.function(wired.role) in roles.DRIVEN for wired in found.parts):
            continue
        at = f"{case.at(found.place)} of {found.chip.name}"
        if "input-only" in found.pin.special:
            yield Finding(
                spots=found.spots,
                message=f"{at} can only be read, never driven: {found.effects}.",
                claims=found.claims(case),
                facts=found.facts(case),
                advice="Wire the part to a pin that can be an output.",
            )
        elif "open-drain" in found.pin.special and not any(w.path.pullups for w in found.parts):
            yield from found.unchecked(f"{at} only pulls low, and the wiring shows no pull-up")
