"""The hot-end fan starts only when the hot end is already hot.

Below its threshold the fan stands still and heat soaks up into the cold end; the most common
filament softens at about 60 C. Usual thresholds are 45 to 50 C; above 60 C the filament may
soften where it should be pushed, above 100 C it will.
"""

from pincheck.analysis import roles
from pincheck.analysis.case import Case, claimed, value
from pincheck.analysis.hotend_fans import USUAL_C, hotend_fans
from pincheck.model.claim import Claim
from pincheck.model.finding import Agreement, Change, Finding, Number, Severity, Unchecked
from pincheck.model.threshold import Threshold
from pincheck.rules.rule import Outcomes, example, rule

_SOFTENS = "common practice: PLA softens, and the cold end must not get there without its fan"
HIGHEST_C = Threshold(
    60.0, "C", "temperature from which the hot-end fan runs", _SOFTENS,
    below="agrees", above="advice: filament may soften before the fan starts",
)  # fmt: skip
JAMS_C = Threshold(
    100.0, "C", "temperature from which the hot-end fan runs", _SOFTENS,
    below="advice", above="fault: the filament jams",
)  # fmt: skip


@rule(
    Severity.FAULT,
    source="common practice",
    fires=example("section", ("toolhead.cfg", "heater_temp: 50.0", "heater_temp: 90.0")),
    quiet=example("section", ("toolhead.cfg", "heater_temp: 50.0", "heater_temp: 60.0")),
    thresholds=(
        HIGHEST_C,
        JAMS_C,
    ),
)
def hotend_fan_threshold_high(case: Case) -> Outcomes:
    """Compare the threshold with what common practice allows."""
    for fan in hotend_fans(case):
        role = fan.by
        claim = case.known(role, "threshold_c")
        if isinstance(claim, Unchecked):
            yield claim
        elif isinstance(claim, Claim) and value(claim) <= HIGHEST_C:
            yield Agreement(role, "threshold_c")
        elif isinstance(claim, Claim):
            over = value(claim) - HIGHEST_C
            yield Finding(
                severity=Severity.FAULT if value(claim) > JAMS_C else Severity.ADVICE,
                spots=((role, "threshold_c"),),
                message=(
                    f"The {roles.name(fan.wired.role)} stands still until the hot end is at "
                    f"{value(claim):.0f} C, {over:.0f} K above what common filament stands: it "
                    f"softens in the cold end while heating up and cooling down."
                ),
                claims=(claim,),
                numbers=(
                    Number(
                        "above the highest usual threshold",
                        over,
                        "K",
                        f"threshold - {HIGHEST_C:.0f} C",
                        (claimed(claim),),
                        "common practice",
                    ),
                ),
                changes=(Change(role, "threshold_c", USUAL_C, claim),),
            )
