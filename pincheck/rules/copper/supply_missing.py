"""A part gets no supply."""

from collections.abc import Iterator

from pincheck.analysis.case import Case
from pincheck.model.finding import Outcome, Severity
from pincheck.rules.copper.faults import findings
from pincheck.rules.rule import example, rule


@rule(
    id="supply-missing",
    severity=Severity.FAULT,
    title="A part gets no supply",
    reason=(
        "The terminal that wants the supply or the ground ends on a net that no rail feeds, so "
        "the part is dead whatever the firmware does."
    ),
    source="common practice",
    failing=example(
        "section", ("boards/lapwing-c.toml", '"GND", "5V", "SERVO"', '"GND", "", "SERVO"')
    ),
    passing=example(
        "section",
        (
            "boards/lapwing-c.toml",
            '"GND", "5V", "SERVO", "GND", "PROBE"',
            '"GND", "5V", "SERVO", "AGND", "PROBE"',
        ),
    ),
)
def supply_missing(case: Case) -> Iterator[Outcome]:
    """Take the faults of this kind from the trace."""
    yield from findings(
        case,
        kind="no-supply",
        rule="supply-missing",
        severity=Severity.FAULT,
        attribute="supply_v",
        effect="It stays dead whatever the firmware does.",
        advice="Take the terminal to a rail of its voltage.",
    )
