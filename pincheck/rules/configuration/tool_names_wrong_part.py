"""A tool, or the bed, names another heater, fan or drive than its own.

The tool that is chosen decides which heater a temperature command sets and which fan the command
for the part fan drives. A tool that names the bed sets the bed to 240 C and leaves the hot end
cold; one that names the hot-end fan, or no fan, prints without cooling.
"""

from collections.abc import Iterator

from pincheck.analysis import roles
from pincheck.analysis.case import Case, fact
from pincheck.analysis.pairings import home
from pincheck.model.claim import Claim, PinValue
from pincheck.model.finding import Agreement, Change, Finding, Severity, Unchecked
from pincheck.model.path import Wired
from pincheck.model.role import role as role_of
from pincheck.model.role import split
from pincheck.rules.rule import Outcomes, example, rule

_NAMED = {
    "hotend.heater": "heated_by_command",
    "bed.heater": "heated_by_command",
    "chamber.heater": "heated_by_command",
    "part.fan": "blown_by_tool",
    "extruder.motor": "driven_by_tool",
}
_SAID = {
    "heated_by_command": ("the command for its temperature", "sets", "stays cold"),
    "blown_by_tool": (
        "the command for the part fan",
        "drives",
        "stands still (overhangs and bridges sag)",
    ),
    "driven_by_tool": ("what the tool extrudes", "moves", "does not turn"),
}


@rule(
    Severity.DANGER,
    source="public sources of the style",
    fires=example("gcode", ("toolhead.g", "M563 P0 D0 H1 F0", "M563 P0 D0 H0 F0")),
    quiet=example("gcode", ("toolhead.g", "M563 P0 D0 H1 F0", "M563 P0 D0 H1")),
)
def tool_names_wrong_part(case: Case) -> Outcomes:
    """Compare the heater and the fan of each tool with what is fitted for it."""
    yield from _no_tool(case)
    for role in case.roles:
        attribute = _NAMED.get(roles.family(role), "")
        own = _own(case, role) if attribute else None
        led = own and (home(own) or own.path.driver)
        claim = case.known(role, attribute) if led else None
        feeds = case.claims.find(role, attribute) if attribute == "driven_by_tool" else None
        if own is None and feeds and feeds.value != role:
            yield Unchecked(role, attribute, "the wiring describes no such motor")
        if own is None or claim is None:
            continue
        if isinstance(claim, Unchecked):
            yield Unchecked(own.role, attribute, claim.reason)
        elif claim.value == own.role or _on_its_pin(case, claim, own):
            yield Agreement(own.role, attribute)
        elif attribute == "driven_by_tool" and not _shared(case, claim):
            # which of the drives is the first one's, the numbers alone do not tell
            reason = f"nothing says which motor {_where(claim)} moves"
            yield Unchecked(own.role, attribute, reason)
        else:
            yield _finding(case, claim, own)


def _no_tool(case: Case) -> Iterator[Finding]:
    """Yield that hot ends are set up and no command makes a tool, so that none can be heated."""
    heaters = [wired for wired in case.fitted("heater") if wired.role.startswith("hotend")]
    claims = [case.known(wired.role, "pin") for wired in heaters]
    set_up = tuple(c for c in claims if isinstance(c, Claim))
    told = (*case.claims.all, *(claim for claim, _ in case.claims.lost))
    if (
        not set_up
        or not {"heated_by_command", "driven_by_tool"} <= case.claims.attributes
        or any(_NAMED.get(roles.family(c.role)) == c.attribute and _of_tool(c) for c in told)
        or any(case.claims.doubt(c.role, "heated_by_command") for c in set_up)
    ):
        return
    names = roles.listed([f"the {roles.name(c.role)}" for c in set_up])
    yield Finding(
        severity=Severity.FAULT,
        spots=tuple((c.role, "heated_by_command") for c in set_up),
        message=(
            f"No tool is made with {names}: no command for a temperature reaches "
            f"{'it' if len(set_up) == 1 else 'them'}, and nothing is extruded."
        ),
        claims=set_up,
        facts=tuple(fact(w, "heated_by_command", w.part.title or w.part.id) for w in heaters),
        advice="Make a tool with its drive, its heater and its fan, in a file that is run.",
    )


def _of_tool(claim: Claim) -> bool:
    return roles.family(claim.role) not in ("bed.heater", "chamber.heater")


def _own(case: Case, role: str) -> Wired | None:
    """Return the part of a tool's: the first part fan serves every tool without one."""
    group, _, function = split(role)
    first = case.trace.find(role_of(group, 0, function)) if group == "part" else None
    return case.trace.find(role) or first


def _shared(case: Case, claim: Claim) -> bool:
    """Return whether another tool names the same motor as its own."""
    others = (c for c in case.claims.all if c.attribute == claim.attribute)
    return any(c.value == claim.value == c.role for c in others)


def _on_its_pin(case: Case, claim: Claim, own: Wired) -> bool:
    pin, place = case.claims.find(str(claim.value), "pin"), home(own)
    claimed = isinstance(pin.value, PinValue) and pin.value.place if pin else None
    return bool(claimed and place and case.same(claimed, place))


def _finding(case: Case, claim: Claim, own: Wired) -> Finding:
    heats, mine = claim.attribute == "heated_by_command", roles.name(own.role)
    other = roles.name(str(claim.value)) if claim.value != "none" else ""
    what, verb, effect = _SAID[claim.attribute]
    told = f"{what} reaches no {roles.function(own.role)} that is set up"
    if other:
        told = f"{what} {verb} the {other} instead of the {mine}"
    burns = heats and bool(other) and own.role.startswith("hotend")
    if burns:
        effect += f", and the {other} heats up to its own limit"
    return Finding(
        severity=Severity.DANGER if burns else Severity.FAULT,
        spots=((own.role, claim.attribute),),
        message=f"{_where(claim)}: {told}; the {mine} {effect}.",
        claims=(claim, *_beside(case, claim)),
        facts=(fact(own, claim.attribute, f"the {mine} of this tool"),),
        changes=(Change(claim.role, claim.attribute, own.role, claim),),
    )


def _where(claim: Claim) -> str:
    line = claim.setting
    return f"{line.section} names {line.key}{line.value}" if line else claim.origin.split(":")[0]


def _beside(case: Case, claim: Claim) -> Iterator[Claim]:
    """Yield a letter of the same tool where the one at fault is missing."""
    number = split(claim.role)[1]
    if claim.setting is None:
        for family, attribute in _NAMED.items():
            group, _, function = family.partition(".")
            if group in ("bed", "chamber"):
                continue
            found = case.claims.find(role_of(group, number, function), attribute)
            yield from (found,) if found and found.setting else ()
