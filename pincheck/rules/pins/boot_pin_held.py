"""A part holds the pin that tells the chip how to start.

While it comes out of reset a chip reads the level of a few pins to choose what to start. A
resistor at a transistor's gate, an end stop's pull-up or its closed contact can hold such a pin
at the other level: the chip waits in its boot loader, or erases itself, and the machine is dead
at every power-on.
"""

from pincheck.analysis.case import Case
from pincheck.analysis.level_at_reset import Level, levels
from pincheck.analysis.parts_on_pin import OnPin, by_pin
from pincheck.chips import BootLevel, Levels
from pincheck.model.finding import Finding, Moment, Severity
from pincheck.rules.pins.second_chip import spare_fan
from pincheck.rules.rule import Outcomes, example, rule


@rule(
    Severity.FAULT,
    when=Moment.SWITCH_ON,
    source="boot configuration in the chip makers' data sheets",
    fires=example("section", *spare_fan("gpio0", "\npulldown = { ohm = 10000, to_v = 0.0 }")),
    quiet=example("section", *spare_fan("gpio12", "\npulldown = { ohm = 10000, to_v = 0.0 }")),
)
def boot_pin_held(case: Case) -> Outcomes:
    """Work out the level of each boot pin before the firmware drives or pulls anything."""
    for found in by_pin(case):
        boot, limits = found.chip.boot_levels.get(found.place.pin), found.chip.levels
        if boot is None:
            continue
        if limits is None or found.chip.logic_v is None:
            yield from found.unchecked("nobody knows the chip's input levels")
            continue
        wrong = [
            (_severity(level, boot, limits, found.chip.logic_v), level)
            for level in levels(found.parts[0], boot, found.chip.logic_v, found.chip.name)
        ]
        severity, level = max(wrong, key=lambda one: one[0], default=(None, None))
        if severity and level:
            yield _finding(case, found, boot, severity, level)


def _severity(level: Level, boot: BootLevel, limits: Levels, logic_v: float) -> int:
    """Return a severity, 0 where the level is surely the right one."""
    share = level.number.value / logic_v
    right, wrong = (
        (share >= limits.high, share <= limits.low)
        if boot.level == "high"
        else (share <= limits.low, share >= limits.high)
    )
    certain = wrong and not boot.optional and not level.when
    return 0 if right else Severity.FAULT if certain else Severity.ADVICE


def _finding(case: Case, found: OnPin, boot: BootLevel, severity: int, level: Level) -> Finding:
    possibly = "" if severity == Severity.FAULT else "possibly "
    when = f" while it is {level.when}" if level.when else ""
    return Finding(
        severity=Severity(severity),
        spots=found.spots,
        message=(
            f"{case.at(found.place)} of {found.chip.name} has to be {boot.level} when the chip "
            f"starts, and the line of the {found.names} is at {level.number.value:.1f} V{when}: "
            f"{possibly}the chip {boot.otherwise}."
        ),
        claims=found.claims(case),
        facts=found.facts(case),
        numbers=(level.number,),
        advice="Wire the part to another pin, or make the level right with a stronger resistor.",
    )
