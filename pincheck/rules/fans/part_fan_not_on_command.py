"""The part fan is set up so that the fan command does not reach it.

A print switches its part fan with one command, which knows one fan of the firmware. A fan that has
a name of its own waits for commands with that name, which no sliced print holds, unless a macro
takes the fan command over. One that follows a heater blows whenever that is warm, first layers
included, whatever the command says.
"""

from pincheck.analysis import roles
from pincheck.analysis.case import Case, fact
from pincheck.analysis.pairings import Pairing, pairings
from pincheck.model.claim import Claim
from pincheck.model.finding import Agreement, Finding, Outcome, Severity, Unchecked
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
    follow = [(p, case.known(p.role, "watches")) for p in fans]
    if watching := [(p, it) for p, it in follow if isinstance(it, Claim) and it.value != "none"]:
        yield from (_follows(pairing, claim) for pairing, claim in watching)
    elif fans and "on_command" in case.claims.attributes:
        yield _by_name(case, fans[0])


def _by_name(case: Case, first: Pairing) -> Outcome:
    known = case.known("part.fan", "on_command")
    unsent = next(iter(case.claims.apart), None)
    if isinstance(known, Unchecked):
        return Unchecked(first.role, "on_command", known.reason)
    if known:
        return Agreement("part.fan", "on_command")
    if unsent:
        return Unchecked(first.role, "on_command", f"{unsent.name} was not sent, and may switch it")
    name = roles.name(first.role)
    return Finding(
        spots=((first.role, "on_command"),),
        message=(
            f"The {name} is set up under a name of its own, and nothing takes the fan command "
            f"to it: that command does nothing, and the {name} {roles.left_alone(first.role)}."
        ),
        claims=(first.claim,),
        facts=tuple(filter(None, (first.fact(case),))),
        advice="Set it up as the fan of that command, or have a macro of its name set it.",
    )


def _follows(fan: Pairing, watches: Claim) -> Finding:
    assert fan.wired
    name = roles.name(fan.role)
    return Finding(
        spots=((fan.role, "watches"),),
        message=(
            f"The {name} follows the {roles.name(str(watches.value))}: it blows whenever that is "
            f"warm, first layers included, whatever the fan command says."
        ),
        claims=(watches, fan.claim),
        facts=(fact(fan.wired, "watches", f"the {name} hangs there"),),
        advice=f"Take the {name} off what it follows, and leave it to the fan command.",
    )
