"""The firmware takes the probe the wrong way round.

A probe read the wrong way round is triggered in the air and open on the bed. Homing either stops
at once, high above the bed, or goes on after the probe has touched until the nozzle is pressed
into the bed.
"""

from pincheck.analysis import polarity
from pincheck.analysis.case import Case, fact
from pincheck.model.finding import Agreement, Change, Finding, Severity, Unchecked
from pincheck.rules.rule import Outcomes, example, rule


@rule(
    Severity.DANGER,
    source="common practice",
    fires=example("section", ("toolhead.cfg", "sensor_pin: ^PB1", "sensor_pin: ^!PB1")),
    quiet=example("section", ("machine.cfg", "switch_pin: ^!PC3", "switch_pin: !^PC3")),
)
def probe_polarity(case: Case) -> Outcomes:
    """Compare the claimed inversion of every probe with its output's level when triggered."""
    for wired in case.fitted("signal"):
        role = wired.role
        if wired.place is None or case.claims.find(role, "pin") is None:
            continue
        found, must = polarity.inverted(case, wired), polarity.must_invert(wired)
        if isinstance(found, Unchecked):
            yield found
        elif must is None:
            yield Unchecked(role, "inverted", f"part {wired.part.id} does not say its level")
        elif found[1] == must:
            yield Agreement(role, "inverted")
        else:
            level = "low" if must else "high"
            yield Finding(
                spots=((role, "inverted"),),
                message=(
                    f"The fitted probe's line goes {level} when it triggers, the firmware waits "
                    f"for {'high' if must else 'low'}: it sees a trigger in the air and none on "
                    f"the bed, so homing stops at once or presses the nozzle into the bed."
                ),
                claims=tuple(filter(None, (found[0] or case.claims.find(role, "pin"),))),
                facts=(fact(wired, "inverted", f"{level} when triggered"),),
                changes=(Change(role, "inverted", must, found[0]),),
            )
