"""Two parts are on each other's pins.

Two pins exchanged in the configuration, or two plugs on the board: each part does what the other
was told. With the part fan and the hot-end fan the hot end has no cooling while the part fan is
off, so heat creeps up and the filament jams; with two sensors or two heaters each heater is
regulated by the other's temperature.
"""

from pincheck.analysis import roles
from pincheck.analysis.case import Case
from pincheck.analysis.pairings import Pairing, pairings
from pincheck.model.finding import Finding, Severity
from pincheck.rules.pins.pin_differs import severity
from pincheck.rules.rule import Outcomes, example, rule


@rule(
    Severity.DANGER,
    source="common practice",
    fires=example(
        "section",
        ("toolhead.cfg", "[fan]\npin: PB8", "[fan]\npin: PB6"),
        ("toolhead.cfg", "hotend_fan]\npin: PB6", "hotend_fan]\npin: PB8"),
    ),
    quiet=example(
        "section",
        ("boards/heron-2.toml", '[nets.FAN0]\nchip_pin = "PB6"', '[nets.FAN0]\nchip_pin = "PB8"'),
        ("boards/heron-2.toml", '[nets.FAN2]\nchip_pin = "PB8"', '[nets.FAN2]\nchip_pin = "PB6"'),
        ("toolhead.cfg", "[fan]\npin: PB8", "[fan]\npin: PB6"),
        ("toolhead.cfg", "hotend_fan]\npin: PB6", "hotend_fan]\npin: PB8"),
    ),
)
def pins_swapped(case: Case) -> Outcomes:
    """Name each exchanged pair once, with the changes that put both right."""
    paired = pairings(case)
    for first in paired:
        second = next((p for p in paired if p.role == first.partner and p.partner), None)
        mutual = second is not None and second.partner == first.role
        if second and mutual and first.role < second.role:
            yield _finding(case, first, second)


def _finding(case: Case, first: Pairing, second: Pairing) -> Finding:
    both = first.role, second.role
    effects = [
        roles.misled(first.role, second.role),
        roles.misled(second.role, first.role),
    ]
    worst = max(severity(case, *pair) for pair in ((both[0], [both[1]]), (both[1], [both[0]])))
    return Finding(
        severity=worst,
        spots=(*first.spots(case), *second.spots(case)),
        message=(
            f"The {roles.name(both[0])} is claimed on {case.at(first.place)} and wired to "
            f"{case.at(second.place)}, the {roles.name(both[1])} the other way round: "
            f"{', and '.join(effects)}."
        ),
        claims=(first.claim, second.claim),
        facts=tuple(f for f in (first.fact(case), second.fact(case)) if f),
        changes=(*first.change(), *second.change()),
        advice="If only the two plugs are exchanged on the board, re-plug them instead.",
    )
