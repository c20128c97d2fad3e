"""The firmware does not set a motor's driver up as the one that is fitted.

A driver that takes its current over a wire runs on what it wakes up with until the firmware sets
it: far too little, or more than the motor bears. Firmware that takes it for another chip never
talks to it, or finds none and stops.
"""

from collections.abc import Iterator

from pincheck.analysis import roles
from pincheck.analysis.case import Case, fact, origin, stated
from pincheck.analysis.motor_current import SET_BY_WIRE
from pincheck.model.claim import Claim
from pincheck.model.finding import Agreement, Finding, Outcome, Severity, Unchecked
from pincheck.model.path import Wired
from pincheck.model.role import role as role_of
from pincheck.model.role import split
from pincheck.rules.rule import Outcomes, example, rule

_ONE_CHIP = {"tmc2225": "tmc2208", "tmc2226": "tmc2209", "tmc5161": "tmc5160"}
"""Other packages of one driver (`common practice`)."""
_TYPED = ("boards/heron-2.toml", "[drivers.X]\n", '[drivers.X]\ntype = "tmc2209"\n')


@rule(
    Severity.FAULT,
    source="common practice",
    fires=example("section", _TYPED, ("machine.cfg", "tmc2209 stepper_x", "tmc5160 stepper_x")),
    quiet=example("section", _TYPED, ("machine.cfg", "tmc2209 stepper_x", "tmc2226 stepper_x")),
)
def driver_not_set_up(case: Case) -> Outcomes:
    """Compare the claimed kind of driver with the wiring's, and look for a current that moves."""
    for wired in case.fitted("motor"):
        current = case.known(wired.role, "current_a")
        if isinstance(current, Claim) and stated(current) <= 0:
            yield _finding(wired, "current_a", "no current at all", current)
        driver = wired.path.driver
        fitted = driver.type.lower() if driver else ""
        if not case.claims.has_words_for("driver_kind"):
            yield from _by_command(case, wired, current)
        elif SET_BY_WIRE.fullmatch(fitted) and "driver_kind" in case.claims.attributes:
            yield from _kind(case, wired, _chip(fitted))
        elif fitted:
            yield from _trimmed(case, wired)


def _by_command(case: Case, wired: Wired, current: Claim | Unchecked | None) -> Iterator[Finding]:
    """Yield that no command sets the current of a driver that takes it, where others get one."""
    driver, (group, _, function) = wired.path.driver, split(wired.role)
    of_axis = group != "extruder" and case.claims.find(role_of(group, 0, function), "current_a")
    if driver is None or current is not None or of_axis:
        return  # one command sets it for all motors of an axis
    others = (case.known(other.role, "current_a") for other in case.fitted("motor"))
    said = next((claim for claim in others if isinstance(claim, Claim)), None)
    line = said or case.claims.find(wired.role, "driver_number")
    takes_it = SET_BY_WIRE.fullmatch(driver.type.lower()) or (said and not driver.type)
    if takes_it and line:
        yield _finding(wired, "current_a", "no current", line)


def _trimmed(case: Case, wired: Wired) -> Iterator[Outcome]:
    """Judge what is set up for a driver with a trimmer, which answers on no wire."""
    kind = case.known(wired.role, "driver_kind")
    if isinstance(kind, Unchecked):
        yield kind
    elif kind and SET_BY_WIRE.fullmatch(_chip(str(kind.value))):
        yield _finding(wired, "driver_kind", f"{kind.value} ({origin(kind)})", kind)
    elif kind:
        yield Agreement(wired.role, "driver_kind")


def _kind(case: Case, wired: Wired, fitted: str) -> Iterator[Outcome]:
    role = wired.role
    claim, pin = case.known(role, "driver_kind"), case.known(role, "pin")
    if isinstance(claim, Unchecked):
        yield claim
    elif claim is None and isinstance(pin, Claim):
        yield _finding(wired, "driver_kind", "no driver that it could talk to", pin)
    elif claim and _chip(str(claim.value)) != fitted:
        yield _finding(wired, "driver_kind", f"{claim.value} ({origin(claim)})", claim)
    elif claim:
        yield Agreement(role, "driver_kind")
        if case.known(role, "current_a") is None:
            yield _finding(wired, "current_a", "no current", claim)


def _chip(kind: str) -> str:
    bare = kind.lower()
    return _ONE_CHIP.get(bare, bare)


def _finding(wired: Wired, attribute: str, set_up: str, claim: Claim) -> Finding:
    driver = wired.path.driver
    fitted = driver.type if driver and driver.type else "driver"
    return Finding(
        spots=((wired.role, attribute),),
        message=(
            f"The {roles.name(wired.role)} hangs on a {fitted}, and the firmware sets up {set_up} "
            f"for it: the motor gets a current that nobody chose, or the firmware does not start."
        ),
        claims=(claim,),
        facts=(fact(wired, attribute, fitted),),
        advice=f"Set the {fitted} up as what it is, with a current for the motor.",
    )
