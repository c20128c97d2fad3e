"""Two functions claim the same chip pin.

One pin leads to one circuit. Where two functions of the firmware share it, the last one to write
wins, and both the part that is there and the one that is not get the wrong signal; some firmware
refuses to start. An endstop and the probe may share a pin, and so may two fans of one kind where
the firmware takes it. The second user may be anything: a direction, a chip select, a display.
"""

from attrs import evolve

from pincheck.analysis import roles
from pincheck.analysis.case import Case, fact, origin
from pincheck.analysis.hotend_fans import standing_still
from pincheck.analysis.other_users import OtherUser, other_users
from pincheck.analysis.pairings import Pairing, home, pairings
from pincheck.model.finding import Finding, Severity
from pincheck.rules.rule import Outcomes, example, rule

_TAKEN = {
    "heater": "it gets power whenever that line is driven, and nothing limits it",
    "sensor": "its reading is no temperature any more, or the firmware does not start",
}
_BY_PROBE = "#define USE_PROBE_FOR_Z_HOMING\n"
_SPOILT = "both get the wrong signal, or the firmware does not start"


@rule(
    Severity.DANGER,
    source="common practice",
    fires=example("section", ("toolhead.cfg", "pin: PB8", "pin: PB6")),
    quiet=example("define", ("machine.h", _BY_PROBE, "#define Z_MIN_PIN PB1\n")),
)
def pin_claimed_twice(case: Case) -> Outcomes:
    """Name both claims; the change moves the one whose part is wired elsewhere."""
    paired = pairings(case)
    twice = {pairing.role: pairing for pairing in paired if pairing.kind == "claimed-twice"}
    for pairing in twice.values():
        rival = pairing.rival
        other = twice.get(rival.role) if rival else None
        if rival is None or (other and _comes_first(other, pairing)):
            continue
        role, pin = pairing.role, case.at(pairing.place)
        where = f"is wired to {case.at(pairing.home)}" if pairing.home else "is not in the wiring"
        effects = [f"the {roles.name(role)} {roles.left_alone(role)}"]
        effects += [roles.misled(role, wired.role) for wired in pairing.reached]
        # A pull-up and an input on another's line spoil what that one reads or drives.
        both = not pairing.reached or roles.function(role) == "tachometer"
        users = role, rival.role, *(wired.role for wired in pairing.reached)
        yield Finding(
            severity=max(_severity(*users), standing_still(case, role)),
            spots=(*pairing.spots(case), *(((rival.role, "pin"),) if both else ())),
            message=(
                f"{pin} is claimed for the {roles.name(role)} and for the "
                f"{roles.name(rival.role)} ({origin(rival)}); the {roles.name(role)} {where}: "
                f"{roles.listed(effects)}."
            ),
            claims=(pairing.claim, rival),
            facts=pairing.facts(case),
            changes=pairing.change(),
            advice=f"Give the {roles.name(role)} a pin of its own, or take its line out.",
        )
    for user in other_users(case):
        yield _second_user(case, user)


def _severity(*users: str) -> Severity:
    """Return danger for a pin that heats or measures heat, and where the nozzle meets the bed."""
    grave = roles.ANALOG | roles.STOPS_THE_NOZZLE
    heats = any(roles.function(user) == "heater" or roles.family(user) in grave for user in users)
    return Severity.DANGER if heats else Severity.FAULT


def _second_user(case: Case, user: OtherUser) -> Finding:
    """Return that a line takes a role's pin for something else: that line is the wrong one."""
    names = roles.listed([f"the {roles.name(role)}" for role in user.roles])
    effects = dict.fromkeys(_TAKEN.get(roles.function(role), _SPOILT) for role in user.roles)
    others = roles.listed([origin(claim) for claim in user.claims if claim.setting])
    return Finding(
        severity=_severity(*user.roles),
        spots=tuple((role, "pin") for role in user.roles),
        message=(
            f"{case.at(user.place)} is taken for {user.duty or 'something else'} "
            f"({origin(user.line)}), and it is the pin of {names}"
            f"{f' ({others})' if others else ''}: {roles.listed([*effects])}."
        ),
        claims=(evolve(user.line, role=user.roles[0]), *user.claims),
        facts=tuple(
            fact(wired, "pin", case.at(user.place))
            for role in user.roles
            if (wired := case.trace.find(role)) and (at := home(wired)) and at == user.place
        ),
        advice="Give that line the pin that it is meant for, or take it out.",
    )


def _comes_first(one: Pairing, other: Pairing) -> bool:
    """Tell which of two claims without a part on their pin to name: one that is wired elsewhere."""
    return (one.home is None, one.role) < (other.home is None, other.role)
