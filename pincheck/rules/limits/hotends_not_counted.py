"""The firmware counts fewer hot ends than are fitted.

Firmware that counts its extruders knows the keys of as many hot ends as it was told of. What is
set for a further one does not exist for it: nothing heats, reads or guards that hot end.
"""

from pincheck.analysis import roles
from pincheck.analysis.case import Case, fact, value
from pincheck.model.claim import Claim
from pincheck.model.finding import Agreement, Change, Finding, Severity, Unchecked
from pincheck.model.role import split
from pincheck.rules.rule import Outcomes, example, rule


@rule(
    Severity.FAULT,
    source="public sources of the style",
    fires=example("define", ("machine.h", "#define EXTRUDERS 1", "#define EXTRUDERS 0")),
    quiet=example("define", ("machine.h", "#define EXTRUDERS 1", "#define EXTRUDERS 2")),
)
def hotends_not_counted(case: Case) -> Outcomes:
    """Compare how many hot ends there are with the number of each that is fitted."""
    for wired in case.fitted("heater"):
        role, number = wired.role, split(wired.role)[1]
        count = case.known(role, "hotend_count")
        if isinstance(count, Unchecked):
            yield count
        elif isinstance(count, Claim) and value(count) > number:
            yield Agreement(role, "hotend_count")
        elif isinstance(count, Claim):
            counted = f"{value(count):.0f} hot end{'' if value(count) == 1 else 's'}"
            yield Finding(
                spots=((role, "hotend_count"),),
                message=(
                    f"The firmware counts {counted}, and the {roles.name(role)} is number "
                    f"{number + 1}: what is set for it does not exist, nothing heats it or guards "
                    f"it, or the build stops."
                ),
                claims=(count,),
                facts=(fact(wired, "hotend_count", wired.part.title or wired.part.id),),
                changes=(Change(role, "hotend_count", number + 1.0, count),),
            )
