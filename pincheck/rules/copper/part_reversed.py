"""A part sits the wrong way round on its socket."""

from collections.abc import Iterator

from pincheck.analysis.case import Case
from pincheck.model.finding import Outcome, Severity
from pincheck.rules.copper.faults import findings
from pincheck.rules.rule import example, rule


@rule(
    id="part-reversed",
    severity=Severity.DANGER,
    title="A part sits the wrong way round on its socket",
    reason=(
        "Supply and ground, or supply and switched side, are exchanged at the plug. A fan stays "
        "off or is destroyed, a probe is destroyed, and its signal line may take the chip "
        "along. Heaters do not mind and are not named here."
    ),
    source="common practice",
    failing=example(
        "section",
        ("boards/lapwing-c.toml", 'pins = ["24V", "FAN_HOTEND"]', 'pins = ["FAN_HOTEND", "24V"]'),
    ),
    passing=example(
        "section", ("boards/lapwing-c.toml", 'pins = ["24V", "HEAT"]', 'pins = ["HEAT", "24V"]')
    ),
)
def part_reversed(case: Case) -> Iterator[Outcome]:
    """Take the faults of this kind from the trace."""
    yield from findings(
        case,
        kind="reversed",
        rule="part-reversed",
        severity=Severity.DANGER,
        attribute="supply_v",
        effect="It does not work, and most parts are destroyed at power-on.",
        advice="Leave the power off and exchange the two wires in the plug.",
    )
