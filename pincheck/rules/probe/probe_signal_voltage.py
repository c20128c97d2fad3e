"""The signal's high level is not one that the chip's pin can take.

A 5 V or 24 V output straight on a pin that stands 3.3 V drives current through the chip's input
protection and destroys the pin or the chip. A divider that scales too far leaves a level that the
chip never reads as high, so a trigger is never seen.
"""

import math

from pincheck.analysis import roles
from pincheck.analysis.case import Case, fact
from pincheck.analysis.logic_levels import (
    DIODE_V,
    NOT_STATED_A,
    STATED_A,
    High,
    high_level,
    highest_v,
    injected_a,
    lowest_high_v,
)
from pincheck.analysis.polarity import reads_input
from pincheck.chips import Chip
from pincheck.model.finding import Agreement, Finding, Input, Moment, Number, Severity, Unchecked
from pincheck.model.path import Wired
from pincheck.rules.rule import Outcomes, example, rule


@rule(
    Severity.DANGER,
    source="pin tolerance and input thresholds of the chip's data sheet",
    fires=example(
        "section",
        (
            "boards/heron-2.toml",
            '[nets.PROBE]\nchip_pin = "PB1"',
            '[nets.PROBE]\nchip_pin = "PB1"\npullup = { ohm = 4700, to_v = 24.0 }',
        ),
    ),
    quiet=example(
        "section",
        (
            "boards/heron-2.toml",
            '[nets.PROBE]\nchip_pin = "PB1"',
            '[nets.PROBE]\nchip_pin = "PB1"\npullup = { ohm = 4700, to_v = 5.0 }',
        ),
    ),
    thresholds=(
        DIODE_V,
        STATED_A,
        NOT_STATED_A,
    ),
)
def probe_signal_voltage(case: Case) -> Outcomes:
    """Compare the high level at the pin with the chip's tolerance and threshold."""
    for wired in case.trace.wired:
        if not reads_input(wired) or wired.place is None or wired.role in case.shorted:
            continue
        chip = case.chip_on(wired.place.board)
        high = high_level(wired, chip)
        if high is None:
            continue
        stands = highest_v(chip, wired.place.pin) if chip else None
        if chip is None or stands is None:
            reason = f"nobody knows what {case.at(wired.place)} stands"
            yield Unchecked(wired.role, "supply_v", reason)
        elif high.pin_v > stands:
            yield _finding(case, wired, high, chip, stands, too_high=True)
        elif (sees := lowest_high_v(chip)) is not None and high.pin_v < sees:
            yield _finding(case, wired, high, chip, sees, too_high=False)
        else:
            yield Agreement(wired.role, "supply_v")


def _finding(
    case: Case, wired: Wired, high: High, chip: Chip, bound_v: float, *, too_high: bool
) -> Finding:
    assert wired.place is not None
    pin, divider = case.at(wired.place), wired.path.divider
    leak_a = high.into_diode_a(bound_v)
    may_a = injected_a(chip)
    by_diode = too_high and chip.pins[wired.place.pin].five_volt == "no"
    leaks = by_diode and leak_a <= may_a
    effect = f"reads high only from {bound_v:.1f} V: a trigger is never seen for certain"
    if leaks:
        effect = (
            f"stands {bound_v:.1f} V: {1000 * leak_a:.1f} mA flow into its protection diode, no "
            f"more than the {1000 * may_a:g} mA that it bears ({may_a.source})"
        )
    elif by_diode and not math.isinf(leak_a):
        effect = (
            f"stands {bound_v:.1f} V: {1000 * leak_a:.1f} mA flow into its protection diode, which "
            f"bears {1000 * may_a:g} mA ({may_a.source}): the pin may be destroyed"
        )
    elif too_high:
        effect = f"stands {bound_v:.1f} V: the pin or the whole chip is destroyed"
    worst = Severity.ADVICE if leaks else Severity.DANGER
    signal = Input("signal", high.source_v, "V", high.origin)
    above = Input("above", high.above_ohm, "ohm", "pull-up, series and divider of the wiring")
    below = (
        (Input("bottom", divider.bottom_ohm, "ohm", "divider of the wiring"),) if divider else ()
    )
    leak = Number(
        "current into the protection diode",
        1000 * leak_a,
        "mA",
        "(signal - stands) / above" + " - stands / bottom" * bool(divider),
        (signal, above, *below, Input("stands", bound_v, "V", chip.name)),
        "Ohm's law",
    )
    return Finding(
        severity=worst if too_high else Severity.FAULT,
        when=Moment.SWITCH_ON if too_high else roles.strikes(wired.role),
        spots=((wired.role, "supply_v"),),
        message=(
            f"The {roles.name(wired.role)} puts {high.pin_v:.1f} V on {pin} of {chip.name}, which "
            f"{effect}."
        ),
        facts=(fact(wired, "supply_v", f"{high.source_v:g} V from the {high.origin}"),),
        numbers=(
            Number(
                "level at the pin",
                high.pin_v,
                "V",
                "signal x bottom / (above + bottom)" if divider else "signal",
                (signal, above, *below) if divider else (signal,),
                chip.five_volt_basis.source,
            ),
            *((leak,) if leaks else ()),
        ),
        advice="Put a divider or a level shifter of the right ratio between probe and pin.",
    )
