"""One chip pin reaches two parts."""

from collections.abc import Iterator

from pincheck.analysis.case import Case
from pincheck.model.finding import Outcome, Severity
from pincheck.rules.copper.faults import findings
from pincheck.rules.rule import example, rule


@rule(
    id="pin-reached-by-two",
    severity=Severity.FAULT,
    title="One chip pin reaches two parts",
    reason=(
        "Two parts on one pin cannot be told apart: the firmware drives both or reads a mix of "
        "both. Fans of one kind on one switch are meant so and are not named here."
    ),
    source="common practice",
    failing=example(
        "section",
        ("boards/heron-2.toml", '[nets.FIL0]\nchip_pin = "PC3"', '[nets.FIL0]\nchip_pin = "PC1"'),
        ("clean/section/machine.cfg", "switch_pin: ^!PC3", "switch_pin: ^!PC1"),
    ),
    passing=example(
        "section",
        (
            "marsh-230-c.toml",
            'at = "tool.part_fan_b"\npart = "fan-24v-0a3"',
            'at = "tool.part_fan_b"\npart = "fan-24v-0a1"',
        ),
    ),
)
def pin_reached_by_two(case: Case) -> Iterator[Outcome]:
    """Take the faults of this kind from the trace."""
    yield from findings(
        case,
        kind="shared-pin",
        rule="pin-reached-by-two",
        severity=Severity.FAULT,
        attribute="pin",
        effect="The firmware cannot work one without the other.",
        unless=("supplies-joined", "supply-on-signal"),
        advice="Give each part a pin of its own.",
    )
