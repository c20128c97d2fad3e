"""The current of a load lifts the ground of a sensor.

What comes back from heaters and fans drops volts along every wire and contact on its way. A sensor
whose ground is that same wire is read against it: while the load is on the firmware sees too high
a voltage, takes a thermistor for colder than it is, and heats on past every limit.
"""

from pincheck.analysis import misreading as belief
from pincheck.analysis import roles
from pincheck.analysis.case import Case, fact, part_of
from pincheck.analysis.currents import UNSOLVED, everything_on
from pincheck.analysis.ground_shift import Lift, lift, shown_c
from pincheck.analysis.sensor_chain import Chain, chain
from pincheck.model.finding import Finding, Input, Number, Severity, Unchecked
from pincheck.physics.believed import SensorReading
from pincheck.rules.rule import Outcomes, example, rule
from pincheck.sensors import READS_RIGHT_K

_ON_GND = ("boards/lapwing-c.toml", 'pins = ["TH", "AGND"]', 'pins = ["TH", "GND"]')


def _long(metres: str) -> tuple[str, str, str]:
    return "marsh-230-c.toml", "awg = 26, length_m = 0.6", f"awg = 26, length_m = {metres}"


_SHORTED = "two supplies are joined, so the way of the other currents says nothing"


@rule(
    Severity.DANGER,
    source="Kirchhoff's laws; the sensor's own curve",
    fires=example("section", _ON_GND, _long("3.0")),
    quiet=example("section", _long("3.0")),
)
def ground_lifted(case: Case) -> Outcomes:
    """Compare what is read with everything on with what is read with everything off."""
    faults = case.trace.faults
    driven = {role for fault in faults if fault.kind == "return-driven" for role in fault.roles}
    for wired in case.fitted("sensor"):
        found = chain(case, wired)
        if not isinstance(found, Chain) or wired.role in case.shorted | driven:
            continue
        if case.shorted or everything_on(case) is None:
            yield Unchecked(wired.role, "table", _SHORTED if case.shorted else UNSOLVED)
            continue
        lifted = lift(case, found)
        rows = [row for at in found.probed_c if lifted and (row := _row(found, lifted, at))]
        if not rows or lifted is None:
            continue
        at_c, before, after = max(rows, key=lambda row: abs(row[2] - row[1]))
        # The least and the most that contacts and tracks may be.
        off = [abs((shown_c(found, at_c, v) or before) - before) for v in _ends(lifted)]
        if min(off) > READS_RIGHT_K:
            yield _finding(found, lifted, SensorReading(at_c, after))
        elif max(off) > READS_RIGHT_K:
            reason = f"depends on contacts: with all on it reads up to {max(off):.0f} K off"
            yield Unchecked(wired.role, "table", reason)


def _ends(lifted: Lift) -> tuple[float, float]:
    return lifted.volts.low, lifted.volts.high


def _row(found: Chain, lifted: Lift, at_c: float) -> tuple[float, float, float] | None:
    """Return a temperature with what is shown before and while the ground is lifted."""
    if not found.curve.low_c <= at_c <= found.curve.high_c:
        return None
    before, after = (shown_c(found, at_c, volts) for volts in (0.0, lifted.volts.nominal))
    return (at_c, before, after) if before is not None and after is not None else None


def _finding(found: Chain, lifted: Lift, row: SensorReading) -> Finding:
    wired, volts = found.wired, lifted.volts.nominal
    name = roles.name(wired.role)
    who = roles.listed([f"the {roles.name(other.role)}" for other, _ in lifted.by]) or "others"
    low, small = row.error_c < 0, abs(row.error_c) <= belief.HARMLESS_K
    heats = "heats on" if low else "heats too little"
    large = Severity.DANGER if low else Severity.FAULT
    inputs = tuple(
        Input(f"by {roles.name(other.role)}", more, "V", part_of(other))
        for other, more in lifted.by
    )
    return Finding(
        severity=Severity.ADVICE if small else large,
        spots=((wired.role, "table"),),
        message=(
            f"The {name} shares its way to ground with the current of {who}, which lifts it by "
            f"{volts:.2f} V: while that flows the firmware reads {row.believed_c:.0f} C at a true "
            f"{row.true_c:.0f} C and {heats}."
        ),
        facts=(fact(wired, "table", f"ground lifted by {volts:.2f} V"),),
        numbers=(
            Number("lift of its ground", volts, "V", "sum of I x R on the way back", inputs,
                   "Kirchhoff's laws"),
            Number(f"believed at a true {row.true_c:.0f} C", row.believed_c, "C",
                   "share + lift / pull-up's voltage x (1 - share), T of the assumed sensor",
                   found.inputs(), found.source()),
        ),
        advice="Give the sensor a ground wire of its own, back to the board that reads it.",
    )  # fmt: skip
