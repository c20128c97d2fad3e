"""The chip needs the part's pin for itself.

Some pins have a duty before any firmware has a say: the lines to the program memory, the reset
input, the crystal, USB. A part on one of them disturbs that duty, and the chip does not start or
does not stay up. Debug pins and those of a 32 kHz crystal are free on nearly every printer board
and are not counted.
"""

from pincheck.analysis.case import Case
from pincheck.analysis.parts_on_pin import OnPin, by_pin
from pincheck.model.finding import Finding, Moment, Severity
from pincheck.rules.pins.second_chip import spare_fan
from pincheck.rules.rule import Outcomes, example, rule

_OTHER_PIN = "Wire the part to a pin that is free."
_TAKEN = {
    "flash": (
        Severity.FAULT,
        "carries the chip's own program memory: with the {names} on it the firmware does not start",
        _OTHER_PIN,
    ),
    "reset": (
        Severity.ADVICE,
        "is the chip's reset input as delivered: with the {names} on it the chip is held in reset "
        "or starts anew at every switching",
        "Make sure that the chip's option for this pin is changed, or use another pin.",
    ),
}
"""By special word of the pin: how bad, what happens, what to do."""

_STATED = {
    "oscillator": (
        "crystal",
        "{at} is free only where the chip runs without a crystal, and the wiring does not say "
        "which",
        "carries the chip's crystal: with the {names} on it the chip does not start",
    ),
    "usb": (
        "usb",
        "{at} is free only where the chip's USB is not used, and the wiring does not say",
        "carries the chip's USB: with the {names} on it the connection fails",
    ),
}
"""By special word: the key of the board that says whether the pin is taken, what is open where it
says nothing, what happens where it is."""


@rule(
    Severity.FAULT,
    when=Moment.SWITCH_ON,
    source="pin lists of the chip makers' data sheets",
    fires=example("section", *spare_fan("gpio6")),
    quiet=example("section", *spare_fan("gpio13")),
)
def pin_taken_by_chip(case: Case) -> Outcomes:
    """Look up the duties of each pin that a part hangs on."""
    for found in by_pin(case):
        at = f"{case.at(found.place)} of {found.chip.name}"
        for word in found.pin.special:
            if word in _STATED:
                key, unsaid, effect = _STATED[word]
                taken = getattr(case.assembly.boards[found.place.board], key)
                if taken:
                    yield _finding(case, found, Severity.FAULT, f"{at} {effect}", _OTHER_PIN)
                elif taken is None:
                    yield from found.unchecked(unsaid.format(at=at))
            if word in _TAKEN:
                severity, effect, advice = _TAKEN[word]
                yield _finding(case, found, severity, f"{at} {effect}", advice)


def _finding(case: Case, found: OnPin, severity: Severity, text: str, advice: str) -> Finding:
    return Finding(
        severity=severity,
        spots=found.spots,
        message=f"{text.format(names=found.names)}.",
        claims=found.claims(case),
        facts=found.facts(case),
        advice=advice,
    )
