"""A sensor's pull-up drives more into the converter's pin than it stands.

A pull-up to 12 or 24 V is a slip of the wiring or of a board. With a cold sensor or a broken wire
the whole voltage is at the pin; what the pull-up lets through ends in the pin's protection diode
and lifts the chip's own supply.
"""

from pincheck.analysis import roles
from pincheck.analysis.case import Case, fact
from pincheck.analysis.currents import solved
from pincheck.analysis.ground_shift import net_at
from pincheck.analysis.logic_levels import DIODE_V, NOT_STATED_A, injected_a
from pincheck.circuit import State
from pincheck.model.claim import Place
from pincheck.model.finding import Finding, Input, Moment, Number, Severity
from pincheck.rules.rule import Outcomes, example, rule

_PULL = "pullup = { ohm = 4700, tolerance_pct = 1.0, to_v = 3.3 }\n\n[nets.THB]"


def _to(volts: str) -> tuple[str, str, str]:
    return "boards/heron-2.toml", _PULL, _PULL.replace("to_v = 3.3", f"to_v = {volts}")


@rule(
    Severity.DANGER,
    when=Moment.SWITCH_ON,
    source="absolute maximum ratings of the chip's data sheet; Kirchhoff's laws",
    fires=example("section", _to("24.0"), also=("sensor-pullup-differs",)),
    quiet=example("section", _to("3.30")),
)
def converter_pin_overdriven(case: Case) -> Outcomes:
    """Solve each pull-up with its sensor open, and ask the pin's protection diode."""
    for wired in case.fitted("sensor"):
        chip = case.chip_on(wired.place.board) if wired.place else None
        volts = max((pull.to_v for pull in wired.path.pullups), default=0.0)
        if not wired.place or chip is None or not chip.logic_v or wired.role in case.shorted:
            continue
        stands = chip.logic_v + DIODE_V
        leak_a = _into_diode_a(case, wired.place, wired.fit.name) if volts > stands else 0.0
        if leak_a <= NOT_STATED_A:
            continue
        may_a = injected_a(chip)
        bears = leak_a <= may_a
        effect = "its diode bears it" if bears else "the pin or the whole chip is destroyed"
        ohms = tuple(Input("pull-up", pull.ohm, "ohm", "wiring") for pull in wired.path.pullups)
        yield Finding(
            severity=Severity.ADVICE if bears else Severity.DANGER,
            spots=((wired.role, "supply_v"),),
            message=(
                f"The pull-up of the {roles.name(wired.role)} goes to {volts:g} V: with a cold or "
                f"open sensor {1000 * leak_a:.1f} mA flow into {case.at(wired.place)} of "
                f"{chip.name}, which stands {stands:.1f} V and {1000 * may_a:g} mA: {effect}."
            ),
            facts=(fact(wired, "supply_v", f"pulled up to {volts:g} V"),),
            numbers=(
                Number("current into the protection diode", 1000 * leak_a, "mA",
                       "(U - stands) / pull-up, solved with the sensor open",
                       (Input("pulled up to", volts, "V", "wiring"), *ohms), "Kirchhoff's laws"),
            ),
            advice="Take the pull-up to the converter's own reference.",
        )  # fmt: skip


def _into_diode_a(case: Case, place: Place, sensor: str) -> float:
    """Return what flows into a pin's upper protection diode while a sensor is open."""
    found = solved(case, State("sensor open", opened=frozenset({("part", sensor)})))
    return found.current_a(("diode", place.board, net_at(case, place), "over")) if found else 0.0
