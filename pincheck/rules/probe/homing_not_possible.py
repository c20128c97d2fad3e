"""An axis homes by what is not there, or to the wrong end.

Homing drives until something triggers. A firmware that waits for the probe or for a stalled motor
does not look at the switch that is fitted, and one that goes up to meet the bed with its probe
never meets it: the axis runs into its end.
"""

from pincheck.analysis import polarity, roles
from pincheck.analysis.case import Case, fact
from pincheck.model.claim import Claim, PinValue
from pincheck.model.finding import Agreement, Change, Finding, Severity, Unchecked
from pincheck.model.path import Wired
from pincheck.rules.rule import Outcomes, example, rule


@rule(
    Severity.FAULT,
    source="public sources of the styles",
    fires=example("gcode", ("config.g", 'M574 X1 S1 P"^xstop"', 'M574 X1 S3 P"^xstop"')),
    quiet=example("gcode", ("config.g", 'M574 X1 S1 P"^xstop"', 'M574 X2 S1 P"^xstop"')),
)
def homing_not_possible(case: Case) -> Outcomes:
    """Compare how and where each axis homes with the switches and the probe that are fitted."""
    probed = case.known("z.endstop", "homing_pin")
    for role in case.roles:
        if roles.function(role) != "endstop":
            continue
        wired = case.trace.find(role)
        fitted = wired if wired and polarity.reads_input(wired) else None
        by_probe = role == "z.endstop" and isinstance(probed, Claim) and _virtual(probed)
        end, by = case.known(role, "homing_end"), case.known(role, "homes_by")
        yield from (it for it in (end, by) if isinstance(it, Unchecked))
        if isinstance(by, Claim) and fitted:
            yield _by(fitted, by)
        if isinstance(end, Claim) and (end.value == "none" if fitted else by_probe):
            yield _end(case, end, fitted)
        elif end is None and by_probe and case.claims.has_words_for("homing_end"):
            yield Unchecked(role, "homing_end", "the files do not say to which end the axis homes")


def _virtual(claim: Claim) -> bool:
    return isinstance(claim.value, PinValue) and claim.value.virtual


def _by(fitted: Wired, by: Claim) -> Agreement | Finding:
    if by.value == "switch":
        return Agreement(by.role, "homes_by")
    return Finding(
        spots=((by.role, "homes_by"),),
        message=(
            f"A switch is fitted as {roles.name(by.role)}, and homing waits for the {by.value} "
            f"instead: nobody looks at the switch when it is hit."
        ),
        claims=(by,),
        facts=(fact(fitted, "homes_by", fitted.part.title or fitted.part.id),),
        advice="Let the axis home by its switch, or take the switch out of the wiring.",
    )


def _end(case: Case, end: Claim, fitted: Wired | None) -> Agreement | Finding:
    """Judge the end of an axis that has its switch, or meets the bed with the probe."""
    if end.value == "low":
        return Agreement(end.role, "homing_end")
    probe = fitted or case.trace.find("probe.signal")
    text = (
        f"The {roles.name(end.role)} is fitted, and the firmware is told that there is none"
        if fitted
        else "The probe meets the bed at the low end, and homing goes to the other one"
    )
    return Finding(
        spots=((end.role, "homing_end"),),
        message=f"{text}: nothing triggers, and the axis runs into its end.",
        claims=(end,),
        facts=(fact(probe, "homing_end", probe.part.title or probe.part.id),) if probe else (),
        changes=() if fitted else (Change(end.role, "homing_end", "low", end),),
        advice="Say at which end the switch is." if fitted else "",
    )
