"""A net joins two supplies."""

from collections.abc import Iterator

from pincheck.analysis.case import Case
from pincheck.model.finding import Outcome, Severity
from pincheck.rules.copper.faults import findings
from pincheck.rules.rule import example, rule


@rule(
    id="supplies-joined",
    severity=Severity.DANGER,
    title="A net joins two supplies",
    reason=(
        "Two supplies of different voltage on one net drive current into each other, or into "
        "ground. The weaker one, and every chip that hangs on it, is destroyed at power-on; a "
        "ribbon plugged in mirrored does just that."
    ),
    source="common practice",
    failing=example(
        "section",
        (
            "boards/lapwing-c.toml",
            '"24V", "24V",                #  5  6',
            '"24V", "5V",                 #  5  6',
        ),
    ),
    passing=example(
        "section",
        (
            "boards/lapwing-c.toml",
            '"GND", "GND",                # 11 12',
            '"GND", "",                   # 11 12',
        ),
    ),
)
def supplies_joined(case: Case) -> Iterator[Outcome]:
    """Take the faults of this kind from the trace."""
    yield from findings(
        case,
        kind="supplies-joined",
        rule="supplies-joined",
        severity=Severity.DANGER,
        attribute="supply_v",
        effect="",
        advice="Leave the power off and compare the pins of both ends of the cable.",
    )
