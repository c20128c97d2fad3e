"""The firmware configures a part that is not fitted.

A sensor, heater or probe that the firmware expects and that is not there ends in a fault at
start-up or at the first use; with a fan it is only a line too many. Functions of the tool head
and the bed are judged; for others the wiring may just not describe them.
"""

from collections.abc import Iterator

from pincheck import styles
from pincheck.analysis import roles
from pincheck.analysis.case import Case
from pincheck.analysis.essentials import UNKNOWN
from pincheck.analysis.pairings import Pairing, pairings
from pincheck.model.claim import Claim
from pincheck.model.finding import Finding, Severity, Unchecked
from pincheck.model.role import split
from pincheck.rules.rule import Outcomes, example, rule

_TOOL_HEAD = frozenset(("hotend", "part", "probe", "extruder", "bed", "chamber"))
_BESIDE = frozenset(("probe", "chamber", "aux"))
"""Groups whose sensors are switched on by a line of their own."""
_EFFECTS = {
    "sensor": "an open input reads far below zero, and the firmware stops with a fault or waits",
    "signal": "the line never changes: homing drives the nozzle into the bed",
    "heater": "heating up ends in a fault, for no temperature rises",
    "servo": "the command moves nothing",
    "tachometer": "no pulse ever comes, and the speed shown is 0",
}


@rule(
    Severity.FAULT,
    source="common practice",
    fires=example(
        "section",
        (
            "marsh-230-c.toml",
            '[fit.probe]\nrole = "probe.signal"\nat = "tool.probe"\npart = "probe-servo-5v"\n',
            "",
        ),
    ),
    quiet=example("section", ("marsh-230-c.toml", 'role = "part1.fan"', 'role = "part2.fan"')),
)
def role_not_fitted(case: Case) -> Outcomes:
    """Judge claims of roles without a part, unless another part hangs on the pin's role."""
    for pairing in pairings(case):
        role = pairing.role
        if pairing.wired or pairing.kind not in ("not-fitted", "agrees"):
            continue
        if role in case.assembly.unknown and not pairing.reached:
            yield Unchecked(role, "pin", UNKNOWN)
        elif pairing.kind == "not-fitted" and split(role)[0] in _TOOL_HEAD:
            yield _finding(case, pairing)
        elif pairing.kind == "not-fitted":
            yield Unchecked(role, "pin", "the wiring describes no such part")
    if styles.of(case.claims.style).board_header:
        yield from _without_pin(case)


def _without_pin(case: Case) -> Iterator[Finding]:
    """Yield each sensor beside the heaters' own that is switched on, and is nowhere at all."""
    for role in case.roles:
        group, _, function = split(role)
        if function != "sensor" or group not in _BESIDE or case.claims.find(role, "pin"):
            continue
        table = case.known(role, "table")
        unknown = case.trace.find(role) or role in case.assembly.unknown
        if isinstance(table, Claim) and not unknown:
            yield Finding(
                severity=Severity.FAULT,
                spots=((role, "table"),),
                message=(
                    f"Firmware reads {roles.one(role)}, and neither a pin nor a part is there for "
                    f"it: the build stops, or an open input stops the machine with a fault."
                ),
                claims=(table,),
                advice=f"Fit the {roles.name(role)}, or switch it off with 0.",
            )


def _finding(case: Case, pairing: Pairing) -> Finding:
    role = pairing.role
    effects = [roles.misled(role, wired.role) for wired in pairing.reached]
    if not effects:
        effects = [_EFFECTS.get(roles.function(role), "the pin switches nothing")]
    harmless = roles.function(role) in ("fan", "output", "tachometer") and not pairing.reached
    return Finding(
        severity=Severity.ADVICE if harmless else Severity.FAULT,
        spots=((role, "pin"),),
        message=(
            f"Firmware {roles.verb(role)} {roles.one(role)} on {case.at(pairing.place)}, but "
            f"none is fitted: {roles.listed(effects)}."
        ),
        claims=(pairing.claim,),
        facts=pairing.facts(case),
        advice=f"Fit the {roles.name(role)}, or take its settings out.",
    )
