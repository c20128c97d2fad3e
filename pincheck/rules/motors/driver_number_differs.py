"""Scripts move a motor by another driver than the one that it hangs on.

Scripts call the drivers by numbers, and one command says which of them move an axis. With another
number there, the axis moves another motor or none: homing then drives what stands in the way, or
waits for an end stop that nothing comes to.
"""

from collections.abc import Iterator

from pincheck.analysis import roles
from pincheck.analysis.case import Case, fact, origin
from pincheck.model.claim import Claim
from pincheck.model.finding import Agreement, Finding, Severity, Unchecked
from pincheck.model.path import Wired
from pincheck.model.role import role as role_of
from pincheck.model.role import split
from pincheck.rules.rule import Outcomes, example, rule

_NUMBERED = tuple(
    ("boards/heron-2.toml", f"[drivers.{name}]\n", f"[drivers.{name}]\nnumber = {number}\n")
    for number, name in enumerate(("X", "Y", "Z", "E0"))
)


@rule(
    Severity.FAULT,
    source="public sources of the style",
    fires=example("gcode", *_NUMBERED, ("config.g", "M584 X0 Y1 Z2 E3", "M584 X0 Y1 Z2 E4")),
    quiet=example("gcode", *_NUMBERED, ("config.g", "M584 X0 Y1 Z2 E3\n", "")),
)
def driver_number_differs(case: Case) -> Outcomes:
    """Compare the number that scripts have for each fitted motor with its driver's own."""
    if "driver_number" not in case.claims.attributes:
        return
    for wired in case.fitted("motor"):
        own, claim = _own(case, wired), case.known(wired.role, "driver_number")
        if not own:
            continue
        if isinstance(claim, Unchecked):
            yield claim
        elif claim is None:
            yield from _left_out(case, wired, own)
        elif _bare(str(claim.value)) == own:
            yield Agreement(wired.role, "driver_number")
        else:
            yield _finding(case, wired, own, claim)


def _own(case: Case, wired: Wired) -> str:
    """Return the number of a motor's driver with that of its board, empty where nobody says."""
    driver = wired.path.driver
    if driver is None or driver.number is None:
        return ""
    board = next((hop.board for hop in wired.path.hops if hop.kind == "driver"), "")
    if board == case.assembly.main:
        return str(driver.number)
    named = (chip for chip, key in case.assembly.chips.items() if key == board)
    return next((f"{chip}.{driver.number}" for chip in named), "")


def _bare(number: str) -> str:
    """Return a number without the main board's own in front."""
    return number.removeprefix("0.")


def _left_out(case: Case, wired: Wired, own: str) -> Iterator[Finding]:
    """Yield that a further motor of an axis is in no list of drivers."""
    group, _, function = split(wired.role)
    first = case.claims.find(role_of(group, 0, function), "driver_number")
    if first:
        name = roles.name(wired.role)
        yield Finding(
            spots=((wired.role, "driver_number"),),
            message=(
                f"The {name} hangs on driver {own}, and {origin(first)} gives that to nothing: it "
                f"stands still while its partner moves."
            ),
            claims=(first,),
            facts=(fact(wired, "driver_number", own),),
            advice=f"Name driver {own} there, too.",
        )


def _finding(case: Case, wired: Wired, own: str, claim: Claim) -> Finding:
    number, name = _bare(str(claim.value)), roles.name(wired.role)
    there = [f"the {roles.name(w.role)}" for w in case.fitted("motor") if _own(case, w) == number]
    moved = f"{roles.listed(there)} instead" if there else "nothing"
    return Finding(
        spots=((wired.role, "driver_number"),),
        message=(
            f"The {name} is moved by driver {number}, and it hangs on driver {own}: its commands "
            f"move {moved}."
        ),
        claims=(claim,),
        facts=(fact(wired, "driver_number", own),),
        advice=f"Name driver {own} there.",
    )
