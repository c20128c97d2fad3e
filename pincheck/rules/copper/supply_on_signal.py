"""A supply is on a signal line."""

from collections.abc import Iterator

from pincheck.analysis.case import Case
from pincheck.model.finding import Outcome, Severity
from pincheck.rules.copper.faults import findings
from pincheck.rules.rule import example, rule


@rule(
    id="supply-on-signal",
    severity=Severity.DANGER,
    title="A supply is on a signal line",
    reason=(
        "A rail that ends on a signal terminal, a switch or a chip pin puts its whole voltage "
        "on a line that was not made for it. The pin is destroyed at power-on, often with the "
        "whole chip, or the load is on for good."
    ),
    source="common practice",
    failing=example(
        "section",
        (
            "marsh-230-c.toml",
            'at = "main.stop_x"\npart = "endstop-switch-nc"',
            'at = "main.stop_x"\npart = "endstop-optical-5v"',
        ),
        ("boards/heron-2.toml", 'pins = ["XSTOP", "GND", "5V"]', 'pins = ["5V", "GND", "XSTOP"]'),
    ),
    passing=example(
        "section",
        (
            "marsh-230-c.toml",
            'at = "main.stop_x"\npart = "endstop-switch-nc"',
            'at = "main.stop_x"\npart = "endstop-optical-5v"',
        ),
    ),
)
def supply_on_signal(case: Case) -> Iterator[Outcome]:
    """Take the faults of this kind from the trace."""
    yield from findings(
        case,
        kind="supply-on-signal",
        rule="supply-on-signal",
        severity=Severity.DANGER,
        attribute="supply_v",
        effect="What drives that line is shorted, and may be destroyed.",
        advice="Leave the power off and compare the pins of plug and socket.",
    )
