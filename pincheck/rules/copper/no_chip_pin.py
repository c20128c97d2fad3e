"""A fitted part reaches no chip pin."""

from collections.abc import Iterator

from pincheck.model.finding import Outcome, Severity
from pincheck.rules.base import Case, example, rule
from pincheck.rules.copper.faults import findings


@rule(
    id="no-chip-pin",
    severity=Severity.FAULT,
    title="A fitted part reaches no chip pin",
    reason=(
        "The copper ends before it gets to the chip: a pin that the ribbon does not carry, a "
        "net that nothing drives, a socket of another revision. No setting of the firmware can "
        "reach the part."
    ),
    source="common practice",
    failing=example(
        "section",
        (
            "boards/lapwing-c.toml",
            '"FAN_HOTEND", "",            #  7  8',
            '"", "",                      #  7  8',
        ),
    ),
    passing=example(
        "section",
        (
            "boards/lapwing-c.toml",
            '"24V", "24V",                #  5  6',
            '"24V", "",                   #  5  6',
        ),
    ),
)
def no_chip_pin(case: Case) -> Iterator[Outcome]:
    """Take the faults of this kind from the trace."""
    yield from findings(
        case,
        kind="no-chip-pin",
        rule="no-chip-pin",
        severity=Severity.FAULT,
        attribute="pin",
        effect="No setting of the firmware can drive or read it.",
        unless=("supply-on-signal", "supplies-joined", "reversed"),
        advice="Compare the pins of both ends of the cable, and the revision of the board.",
    )
