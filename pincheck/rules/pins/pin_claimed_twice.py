"""One pin claimed by two roles."""

from collections.abc import Iterator

from pincheck.model.finding import Finding, Outcome, Severity
from pincheck.rules import words
from pincheck.rules.base import Case, example, origin, rule
from pincheck.rules.pins.mapping import Pairing, pairings
from pincheck.rules.pins.pin_differs import severity


@rule(
    id="pin-claimed-twice",
    severity=Severity.DANGER,
    title="Two functions claim the same chip pin",
    reason=(
        "One pin leads to one circuit. Where two functions of the firmware share it, the last one "
        "to write wins, and both the part that is there and the one that is not get the wrong "
        "signal; some firmware refuses to start. An endstop and the probe may share a pin, and so "
        "may two fans of one kind."
    ),
    source="common practice",
    failing=example("section", ("clean/section/toolhead.cfg", "pin: PB8", "pin: PB6")),
    passing=example("section", ("clean/section/machine.cfg", "probe:z_virtual_endstop", "^PB1")),
)
def pin_claimed_twice(case: Case) -> Iterator[Outcome]:
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
        effects = [f"the {words.name(role)} {words.left_alone(role)}"]
        effects += [words.misled(role, wired.role) for wired in pairing.reached]
        yield Finding(
            rule="pin-claimed-twice",
            severity=severity(role, [wired.role for wired in pairing.reached]),
            spots=(*pairing.spots(case), *(((rival.role, "pin"),) if not pairing.reached else ())),
            message=(
                f"{pin} is claimed for the {words.name(role)} and for the "
                f"{words.name(rival.role)} ({origin(rival)}); the {words.name(role)} {where}: "
                f"{words.listed(effects)}."
            ),
            claims=(pairing.claim, rival),
            facts=pairing.facts(case),
            changes=pairing.change(),
            advice=f"Give the {words.name(role)} a pin of its own, or take its line out.",
        )


def _comes_first(one: Pairing, other: Pairing) -> bool:
    """Tell which of two claims without a part on their pin to name: one that is wired elsewhere."""
    return (one.home is None, one.role) < (other.home is None, other.role)
