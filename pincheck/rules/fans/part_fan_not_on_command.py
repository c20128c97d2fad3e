"""The part fan is set up under a name that the fan command does not reach.

A print switches its part fan with one command, which knows one fan of the firmware. A fan that has
a name of its own waits for commands with that name, which no sliced print holds, unless a macro
takes the fan command over.
"""

from pincheck.analysis import roles
from pincheck.analysis.case import Case
from pincheck.analysis.pairings import pairings
from pincheck.model.finding import Agreement, Finding, Severity, Unchecked
from pincheck.rules.rule import Outcomes, example, rule

_MACRO = "[gcode_macro M106]\ngcode:\n    SET_FAN_SPEED FAN=part SPEED={params.S|int / 255}\n\n"


@rule(
    Severity.FAULT,
    source="public sources of the style",
    fires=example("section", ("toolhead.cfg", "[fan]", "[fan_generic part]")),
    quiet=example("section", ("toolhead.cfg", "[fan]", f"{_MACRO}[fan_generic part]")),
)
def part_fan_not_on_command(case: Case) -> Outcomes:
    """Look for something that the fan command reaches where a part fan has its right pin."""
    fans = [p for p in pairings(case) if p.home == p.place and roles.family(p.role) == "part.fan"]
    if not fans or "on_command" not in case.claims.attributes:
        return
    first, known = fans[0], case.known("part.fan", "on_command")
    unsent = next(iter(case.claims.apart), None)
    if isinstance(known, Unchecked):
        yield Unchecked(first.role, "on_command", known.reason)
    elif known:
        yield Agreement("part.fan", "on_command")
    elif unsent:
        yield Unchecked(first.role, "on_command", f"{unsent.name} was not sent, and may switch it")
    else:
        name = roles.name(first.role)
        yield Finding(
            spots=((first.role, "on_command"),),
            message=(
                f"The {name} is set up under a name of its own, and nothing takes the fan command "
                f"to it: that command does nothing, and the {name} {roles.left_alone(first.role)}."
            ),
            claims=(first.claim,),
            facts=tuple(filter(None, (first.fact(case),))),
            advice="Set it up as the fan of that command, or have a macro of its name set it.",
        )
