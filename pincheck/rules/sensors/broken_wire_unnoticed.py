"""A broken or shorted sensor wire reads like an ordinary temperature.

An open or shorted sensor should read far outside the limits, so that the firmware stops. Where
the pull-up goes to another voltage than the converter's reference, or an amplifier ends early, it
reads somewhere in the working range, and the firmware heats on.
"""

import math

from pincheck.analysis import roles
from pincheck.analysis.case import Case, claimed, fact, value
from pincheck.analysis.sensor_chain import Chain, chain
from pincheck.analysis.sensor_limits import limit
from pincheck.model.finding import Agreement, Finding, Number, Severity, Unchecked
from pincheck.physics.believed import unnoticed
from pincheck.rules.rule import Outcomes, example, rule

_FAILURES = (("broken", math.inf), ("shorted", 0.0))


@rule(
    Severity.DANGER,
    source="voltage divider with an open or shorted sensor",
    fires=example(
        "section",
        (
            "boards/heron-2.toml",
            'PC5"\npullup = { ohm = 4700, tolerance_pct = 1.0, to_v = 3.3 }',
            'PC5"\npullup = { ohm = 4700, tolerance_pct = 1.0, to_v = 1.8 }',
        ),
        also=("sensor-pullup-differs",),
    ),
    quiet=example(
        "section",
        (
            "boards/heron-2.toml",
            'PC5"\npullup = { ohm = 4700, tolerance_pct = 1.0, to_v = 3.3 }',
            'PC5"\npullup = { ohm = 4700, tolerance_pct = 5.0, to_v = 3.3 }',
        ),
    ),
)
def broken_wire_unnoticed(case: Case) -> Outcomes:
    """Read each sensor open and shorted, and look whether the limits catch it."""
    for wired in case.fitted("sensor"):
        if roles.family(wired.role) not in roles.ANALOG or not wired.part.sensor:
            continue
        found = chain(case, wired)
        low, high = (limit(case, wired.role, name) for name in ("min_c", "max_c"))
        if not isinstance(found, Chain) or low is None or high is None:
            continue
        if isinstance(low, Unchecked) or isinstance(high, Unchecked):
            continue
        hidden = [
            (what, shown)
            for what, ohm in _FAILURES
            if (shown := found.shown_c(ohm)) is not None
            and unnoticed(shown, value(low), value(high))
        ]
        if not hidden:
            yield Agreement(low.role, "min_c")
            continue
        what, shown = hidden[0]
        yield Finding(
            spots=((low.role, "min_c"),),
            message=(
                f"A {what} wire of the {roles.name(wired.role)} reads {shown:.0f} C, inside the "
                f"limits of {value(low):.0f} to {value(high):.0f} C: the firmware does not notice "
                f"and heats on towards its target at full power."
            ),
            claims=(low, high),
            facts=(fact(wired, "pullup_ohm", "pull-up on the sensor's line"),),
            numbers=(
                Number(
                    f"reading of a {what} wire",
                    shown,
                    "C",
                    "voltage of the open or shorted line, read back through the assumed divider",
                    (claimed(low), claimed(high), *found.inputs()),
                    found.source(),
                ),
            ),
            advice="Take the pull-up to the converter's own reference voltage.",
        )
