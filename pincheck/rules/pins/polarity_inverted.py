"""On and off, or triggered and open, are the wrong way round.

An output inverted by mistake is on whenever the firmware says off: a heater runs at full power
once the firmware is up and after every fault, a fan never stops. An end stop taken the wrong way
round is triggered while the axis is free, and free when it is hit. The probe has its own rule.
"""

from pincheck.analysis import polarity, roles
from pincheck.analysis.case import Case, fact
from pincheck.analysis.hotend_fans import standing_still
from pincheck.model.claim import Claim
from pincheck.model.finding import Agreement, Change, Finding, Moment, Severity, Unchecked
from pincheck.model.path import Wired
from pincheck.rules.rule import Outcomes, example, rule

_PULSED = frozenset(("servo", "motor"))


@rule(
    Severity.DANGER,
    source="common practice",
    fires=example("section", ("toolhead.cfg", "heater_pin: PC8", "heater_pin: !PC8")),
    quiet=example(
        "section",
        ("toolhead.cfg", "heater_pin: PC8", "heater_pin: !PC8"),
        (
            "boards/heron-2.toml",
            'switch = { side = "low", max_a = 8.0, rds_on_mohm = 6.0 }',
            'switch = { side = "low", max_a = 8.0, rds_on_mohm = 6.0, inverting = true }',
        ),
    ),
)
def polarity_inverted(case: Case) -> Outcomes:
    """Compare the claimed inversion of every output and end stop with the copper's."""
    for wired in case.trace.wired:
        role = wired.role
        if roles.function(role) in _PULSED:
            yield from _pulses(case, wired)
            continue
        load = roles.function(role) in polarity.LOADS
        stop = polarity.reads_input(wired) and roles.function(role) not in ("signal", "tachometer")
        if not (load or stop) or wired.place is None or case.claims.find(role, "pin") is None:
            continue
        found = polarity.inverted(case, wired)
        must = polarity.must_invert(wired)
        if isinstance(found, Unchecked):
            yield found
        elif must is None:
            yield Unchecked(role, "inverted", f"part {wired.part.id} does not say its level")
        elif found[1] == must:
            yield Agreement(role, "inverted")
        else:
            claims = tuple(filter(None, (found[0] or case.claims.find(role, "pin"),)))
            level = "low" if must else "high"
            danger = roles.function(role) == "heater"
            yield Finding(
                severity=Severity.DANGER if danger else standing_still(case, role),
                when=Moment.SWITCH_ON if danger else roles.strikes(role),
                spots=((role, "inverted"),),
                message=_message(role, level, load),
                claims=claims,
                facts=(fact(wired, "inverted", f"{'on' if load else 'triggered'} while {level}"),),
                changes=(Change(role, "inverted", must, found[0]),),
            )


def _pulses(case: Case, wired: Wired) -> Outcomes:
    """Judge what takes pulses, where the style writes their level at the pin."""
    claim, role = case.known(wired.role, "inverted"), wired.role
    if not isinstance(claim, Claim) or polarity.must_invert(wired) is None:
        return
    servo = roles.function(role) == "servo"
    if bool(claim.value) == polarity.must_invert(wired):
        yield from (Agreement(role, "inverted"),) if servo else ()
        return
    effect = "its signal is high nearly all the time, which it does not understand" if servo else (
        "it steps when the pulse ends, and a turn of direction can come a step too early"
    )  # fmt: skip
    yield Finding(
        severity=Severity.FAULT if servo else Severity.ADVICE,
        spots=((role, "inverted"),),
        message=f"The pulses of the {roles.name(role)} are turned over: {effect}.",
        claims=(claim,),
        facts=(fact(wired, "inverted", "takes pulses that are high"),),
        changes=(Change(role, "inverted", not claim.value, claim),),
    )


def _message(role: str, level: str, load: bool) -> str:
    mine = roles.name(role)
    if not load:
        return (
            f"The {mine} is triggered while its pin is {level}; the firmware takes it the other "
            f"way round and sees it triggered when it is free, and free when it is hit."
        )
    effect = {
        "heater": "it heats at full power as soon as the firmware runs, with the target at 0 C",
        "fan": "it runs at full speed when it is told to stop, and stops at full speed",
    }.get(roles.function(role), "it is on when it is told to be off")
    return f"The {mine} is on while its pin is {level}, the firmware takes it for off: {effect}."
