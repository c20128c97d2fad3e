"""Two functions claim the same chip pin.

One pin leads to one circuit. Where two functions of the firmware share it, the last one to write
wins, and both the part that is there and the one that is not get the wrong signal; some firmware
refuses to start. An endstop and the probe may share a pin, and so may two fans of one kind.
"""

from pincheck.analysis import roles
from pincheck.analysis.case import Case, origin
from pincheck.analysis.pairings import Pairing, pairings
from pincheck.model.finding import Finding, Severity
from pincheck.rules.pins.pin_differs import severity
from pincheck.rules.rule import Outcomes, example, rule


@rule(
    Severity.DANGER,
    source="common practice",
    fires=example("section", ("toolhead.cfg", "pin: PB8", "pin: PB6")),
    quiet=example("section", ("machine.cfg", "probe:z_virtual_endstop", "^PB1")),
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
        yield Finding(
            severity=severity(role, [wired.role for wired in pairing.reached]),
            spots=(*pairing.spots(case), *(((rival.role, "pin"),) if not pairing.reached else ())),
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


def _comes_first(one: Pairing, other: Pairing) -> bool:
    """Tell which of two claims without a part on their pin to name: one that is wired elsewhere."""
    return (one.home is None, one.role) < (other.home is None, other.role)
