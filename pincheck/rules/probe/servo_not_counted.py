"""The probe's servo is one that the firmware does not have.

Firmware that counts its servos drives as many as it was told of. A probe on a servo beyond them
stays up, and homing drives the nozzle into the bed.
"""

from pincheck.analysis import roles
from pincheck.analysis.case import Case, value
from pincheck.model.claim import Claim
from pincheck.model.finding import Agreement, Change, Finding, Severity, Unchecked
from pincheck.rules.rule import Outcomes, example, rule


@rule(
    Severity.DANGER,
    source="public sources of the style",
    fires=example("define", ("machine.h", "#define NUM_SERVOS 1", "#define NUM_SERVOS 0")),
    quiet=example("define", ("machine.h", "#define NUM_SERVOS 1", "#define NUM_SERVOS 2")),
)
def servo_not_counted(case: Case) -> Outcomes:
    """Compare the number of each probe's servo with how many there are."""
    for wired in case.fitted("servo"):
        role = wired.role
        count, number = case.known(role, "servo_count"), case.known(role, "servo_number")
        if isinstance(count, Unchecked):
            yield count
        elif not isinstance(count, Claim) or not isinstance(number, Claim):
            continue
        elif value(count) > value(number):
            yield Agreement(role, "servo_count")
        else:
            blind = roles.stops_the_nozzle(role, case.trace.roles())
            yield Finding(
                severity=Severity.DANGER if blind else Severity.FAULT,
                spots=((role, "servo_count"),),
                message=(
                    f"The probe hangs on servo {value(number):.0f}, counted from 0, and the "
                    f"firmware has {value(count):.0f}: the probe stays up, and the build stops or "
                    f"homing drives the nozzle into the bed."
                ),
                claims=(count, number) if number.setting else (count,),
                changes=(Change(role, "servo_count", value(number) + 1, count),),
            )
