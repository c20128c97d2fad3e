"""The fan's switch has no flyback diode.

What is wound keeps its current going when the switch opens. Without a diode across it the voltage
may shoot up at each pulse until the transistor breaks down. A brushless fan carries electronics of
its own that swallow most of it; whether they do under PWM its data sheet rarely says.
"""

from pincheck.analysis import roles
from pincheck.analysis.case import Case, fact
from pincheck.model.finding import Finding, Severity
from pincheck.rules.rule import Outcomes, example, rule

_FAN2 = "max_a = 1.0, rds_on_mohm = 50.0, flyback = true }\n\n# Sensors"


@rule(
    Severity.ADVICE,
    source="common practice",
    fires=example("section", ("boards/heron-2.toml", _FAN2, _FAN2.replace("true", "false"))),
    quiet=example("section", ("boards/heron-2.toml", _FAN2, _FAN2.replace(", flyback = true", ""))),
)
def flyback_missing(case: Case) -> Outcomes:
    """Take the fans whose board says that it has no diode; a silent board proves nothing."""
    seen: set[tuple[str, str] | None] = set()
    for wired in case.fitted("fan"):
        switch = wired.path.switch
        if switch is None or switch.flyback is not False or wired.switched_net in seen:
            continue
        seen.add(wired.switched_net)
        fans = (wired.role, *wired.switch_mates)
        yield Finding(
            spots=tuple((role, "current_a") for role in fans),
            message=(
                f"The switch of {roles.listed([f'the {roles.name(role)}' for role in fans])} has "
                f"no flyback diode: under PWM each pulse may end in a voltage spike that wears the "
                f"transistor out, unless the fan's own electronics swallow it."
            ),
            facts=(fact(wired, "current_a", "switch without flyback diode"),),
            advice="Fit a diode across the fan's socket, its cathode at the supply.",
        )
