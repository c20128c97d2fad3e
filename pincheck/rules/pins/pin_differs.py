"""The firmware uses another pin than the one the part is wired to.

A part answers only to the chip pin that the copper leads to. The firmware moves, heats or reads
whatever hangs on the pin that it was told, so the part that was meant stands still or goes unread
and another may be switched in its place.
"""

from pincheck.analysis import roles
from pincheck.analysis.case import Case
from pincheck.analysis.hotend_fans import standing_still
from pincheck.analysis.pairings import Pairing, home, pairings, same_job
from pincheck.model.claim import Claim
from pincheck.model.finding import Agreement, Finding, Severity, Unchecked
from pincheck.rules.rule import Outcomes, example, rule


@rule(
    Severity.DANGER,
    source="common practice",
    fires=example("section", ("toolhead.cfg", "pin: PB8", "pin: PB7")),
    quiet=example(
        "section",
        ("toolhead.cfg", "pin: PB8", "pin: PC6"),
        ("boards/heron-2.toml", '[nets.FAN2]\nchip_pin = "PB8"', '[nets.FAN2]\nchip_pin = "PC6"'),
    ),
)
def pin_differs(case: Case) -> Outcomes:
    """Compare every certain pin claim with the copper; yield agreement where they meet."""
    paired = pairings(case)
    for pairing in paired:
        if pairing.kind == "differs":
            yield _finding(case, pairing)
        elif pairing.kind == "agrees" and pairing.wired and pairing.home is None:
            yield Unchecked(pairing.role, "pin", pairing.wired.reason or "no chip pin is known")
        elif pairing.kind == "agrees":
            yield Agreement(pairing.role, "pin")
            yield from (
                Agreement(wired.role, "pin")
                for wired in pairing.reached
                if same_job(pairing.role, wired.role) and home(wired) == pairing.place
            )
    for role in case.roles:
        if roles.function(role) in roles.WITHOUT_PIN:
            continue
        if case.trace.find(role) is None and case.claims.find(role, "pin") is None:
            continue  # neither side says where it is
        known = case.known(role, "pin")
        if isinstance(known, Unchecked):
            # Where neither side has a pin, a file that was not sent leaves nothing open.
            if case.claims.find(role, "pin") or case.trace.find(role):
                yield known
        elif isinstance(known, Claim) and all(p.role != role for p in paired):
            yield from _no_copper(role, known)


def _no_copper(role: str, claim: Claim) -> Outcomes:
    if getattr(claim.value, "virtual", False):
        yield Unchecked(role, "pin", f"{claim.value.written} is no copper")  # type: ignore[union-attr]


def _finding(case: Case, pairing: Pairing) -> Finding:
    role = pairing.role
    reached = [wired.role for wired in pairing.reached]
    wired_to = f"it is wired to {case.at(pairing.home)}" if pairing.home else _nowhere(pairing)
    effects = [f"the {roles.name(role)} {roles.left_alone(role)}"]
    effects += [roles.misled(role, other) for other in reached]
    effect = roles.listed(effects)
    return Finding(
        severity=severity(case, role, reached),
        spots=pairing.spots(case),
        message=(
            f"Firmware {roles.verb(role)} the {roles.name(role)} on {case.at(pairing.place)}, but "
            f"{wired_to}: {effect}."
        ),
        claims=(pairing.claim,),
        facts=pairing.facts(case),
        changes=pairing.change(),
    )


def _nowhere(pairing: Pairing) -> str:
    """Return where a part is wired that no chip pin reaches, as on a cable shifted by a row."""
    reason = pairing.wired.reason if pairing.wired else ""
    return f"no chip pin reaches it ({reason or 'no chip pin is known'})"


def severity(case: Case, role: str, reached: list[str]) -> Severity:
    """Return danger for a heater on the wrong pin or sensor, and where the nozzle meets the bed.

    So it is for the fan of a hot end with a liner.
    """
    functions = {roles.function(other) for other in reached}
    heats = roles.function(role) in roles.DRIVEN and "heater" in functions
    blind = roles.family(role) in roles.ANALOG and "sensor" in functions
    crashes = roles.family(role) in roles.STOPS_THE_NOZZLE
    return Severity.DANGER if heats or blind or crashes else standing_still(case, role)
