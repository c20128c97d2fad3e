"""The probe's line lacks the pull that it needs.

A probe with an open-drain or open-collector output, or a plain switch, only pulls its line one
way. Without a resistor on a board or the chip's own pull the line floats while the probe lets go,
and the firmware sees a trigger at random or none at all.
"""

from pincheck.analysis import polarity, roles
from pincheck.analysis.case import Case
from pincheck.model.finding import Severity
from pincheck.rules.pins.pull_differs import missing_pull
from pincheck.rules.rule import Outcomes, example, rule


@rule(
    Severity.FAULT,
    source="common practice",
    fires=example("section", ("toolhead.cfg", "sensor_pin: ^PB1", "sensor_pin: PB1")),
    quiet=example(
        "section",
        ("toolhead.cfg", "sensor_pin: ^PB1", "sensor_pin: PB1"),
        (
            "boards/heron-2.toml",
            '[nets.PROBE]\nchip_pin = "PB1"',
            '[nets.PROBE]\nchip_pin = "PB1"\npullup = { ohm = 4700, to_v = 3.3 }',
        ),
    ),
)
def probe_pull_missing(case: Case) -> Outcomes:
    """Compare the claimed pull of every probe with what its output needs."""
    for wired in case.fitted("signal"):
        if polarity.reads_input(wired) and roles.family(wired.role) == "probe.signal":
            yield from missing_pull(case, wired)
