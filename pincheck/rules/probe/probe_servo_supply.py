"""A part's supply is not the one that it is made for.

A probe, servo or light strip made for 5 V is destroyed by 12 or 24 V, most of them at once, and a
signal line may take the chip's pin along. With too little voltage it works now and then, or its
output never gets to a clear level.
"""

from pincheck.analysis import roles
from pincheck.analysis.case import Case, fact
from pincheck.model.finding import Agreement, Finding, Moment, Severity, Unchecked
from pincheck.rules.rule import Outcomes, example, rule


@rule(
    Severity.DANGER,
    source="supply range of the fitted part",
    fires=example(
        "section", ("boards/lapwing-c.toml", '"GND", "5V", "SERVO"', '"GND", "24V", "SERVO"')
    ),
    quiet=example(
        "section",
        (
            "marsh-230-c.toml",
            'at = "main.stop_x"\npart = "endstop-switch-nc"',
            'at = "main.stop_x"\npart = "endstop-optical-5v"',
        ),
    ),
)
def probe_servo_supply(case: Case) -> Outcomes:
    """Compare the supply of probes, servos, end stops and outputs with what their parts stand."""
    named: set[str] = set()
    for wired in case.fitted("signal", "servo", "endstop", "output"):
        part, volt = wired.part, wired.supply_v
        low = part.supply_min_v or (0.9 * part.rated_v if part.rated_v else None)
        high = part.supply_max_v or (1.1 * part.rated_v if part.rated_v else None)
        if "supply" not in part.terminals or low is None or high is None:
            continue
        if volt is None:
            yield Unchecked(wired.role, "supply_v", "no terminal of the part reaches a supply")
        elif low <= volt <= high:
            yield Agreement(wired.role, "supply_v")
        elif wired.fit.name not in named:
            named.add(wired.fit.name)
            same = (w.role for w in case.trace.wired if w.fit.name == wired.fit.name)
            over = volt > high
            effect = "it is destroyed at power-on" if over else "it works now and then or never"
            yield Finding(
                severity=Severity.DANGER if over else Severity.FAULT,
                when=Moment.SWITCH_ON if over else roles.strikes(wired.role),
                spots=tuple((role, "supply_v") for role in same),
                message=(
                    f"The {roles.name(wired.role)} is made for {low:g} to {high:g} V and gets "
                    f"{volt:g} V: {effect}."
                ),
                facts=(fact(wired, "supply_v", f"{volt:g} V"),),
                advice=f"Feed it from a rail of {low:g} to {high:g} V.",
            )
