"""A key of an older release stands beside those of a newer one.

Releases that renamed a key refuse to build with its old name, so that nobody believes a setting
that has no effect. Headers that know the new names are of such a release.
"""

from pincheck import styles
from pincheck.analysis import roles
from pincheck.analysis.case import Case, origin
from pincheck.model.finding import Finding, Moment, Severity
from pincheck.rules.rule import Outcomes, example, rule

_OLD = "#define Y_MIN_ENDSTOP_INVERTING false"
_NEW = "#define Y_MIN_ENDSTOP_HIT_STATE HIGH"


@rule(
    Severity.FAULT,
    when=Moment.SWITCH_ON,
    source="public sources of the style",
    fires=example("define", ("machine.h", _OLD, _NEW)),
    quiet=example("define", ("machine.h", "FAN_PIN PB8", "FAN0_PIN PB8")),
)
def key_of_older_release(case: Case) -> Outcomes:
    """Look at the key of every claim that a line makes; a board's own header fits its release."""
    made = [(claim, claim.setting) for claim in case.claims.all if claim.setting]
    headers = {line.source.name for claim, line in made if roles.function(claim.role) == "motor"
               and claim.attribute == "pin"}  # fmt: skip
    lines = {line.key: claim for claim, line in made if line.source.name not in headers}
    for key, now in styles.of(case.claims.style).outdated(tuple(lines)):
        claim = lines[key]
        if not claim.doubt:
            yield Finding(
                spots=((claim.role, claim.attribute),),
                message=(
                    f"{key} at {origin(claim)} stands beside keys of a newer release, which calls "
                    f"it {now} and stops the build at the old name."
                ),
                claims=(claim,),
                advice=f"Write {now}, with the value that means the same there.",
            )
