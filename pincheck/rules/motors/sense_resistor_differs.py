"""The firmware assumes another sense resistor than the driver has.

The driver regulates the voltage across its sense resistor. Firmware that assumes another value
shows one current and sets another: too little and the motor loses steps, too much and it
overheats.
"""

from pincheck.analysis import roles
from pincheck.analysis.case import Case, fact, value
from pincheck.analysis.motor_current import SOURCE, ratio
from pincheck.model.claim import Claim
from pincheck.model.finding import Agreement, Change, Finding, Severity, Unchecked
from pincheck.model.threshold import Threshold
from pincheck.rules.rule import Outcomes, example, rule

_SAME = Threshold(
    0.05, "share", "claimed sense resistor off the fitted one", "common practice",
    below="agrees", above="fault: the current is off by as much",
)  # fmt: skip


@rule(
    Severity.FAULT,
    source=SOURCE,
    fires=example("section", ("toolhead.cfg", "sense_resistor: 0.110", "sense_resistor: 0.150")),
    quiet=example("section", ("toolhead.cfg", "sense_resistor: 0.110", "sense_resistor: 0.111")),
    thresholds=(_SAME,),
)
def sense_resistor_differs(case: Case) -> Outcomes:
    """Compare each claimed sense resistor with the driver's own."""
    for wired in case.fitted("motor"):
        role, driver = wired.role, wired.path.driver
        claim = case.known(role, "sense_ohm")
        if isinstance(claim, Unchecked):
            yield claim
        elif isinstance(claim, Claim) and (driver is None or not driver.sense_ohm):
            yield Unchecked(role, "sense_ohm", "the wiring gives no sense resistor")
        elif isinstance(claim, Claim) and driver and (real := ratio(wired, claim)):
            assert driver.sense_ohm is not None
            fitted, taken = driver.sense_ohm, value(claim)
            if abs(taken / fitted - 1) <= _SAME:
                yield Agreement(role, "sense_ohm")
                continue
            effect = "it may overheat" if real.value > 1 else "it loses steps"
            yield Finding(
                spots=((role, "sense_ohm"),),
                message=(
                    f"The driver of the {roles.name(role)} has {fitted:g} ohm, the firmware "
                    f"computes with {taken:g} ohm: the motor gets {real.value:.0%} of the current "
                    f"that is shown, and {effect}."
                ),
                claims=(claim,),
                facts=(fact(wired, "sense_ohm", f"{fitted:g} ohm"),),
                numbers=(real,),
                changes=(Change(role, "sense_ohm", fitted, claim),),
            )
