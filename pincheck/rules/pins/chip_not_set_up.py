"""Pins are claimed on a chip that the configuration does not set up.

Every chip beside the main one has a name and a way by which the firmware reaches it. Where the
pins carry a name that nothing sets up, the firmware refuses to start: the name is spelt in
another way, or its section is commented out or was never copied.
"""

from pincheck import styles
from pincheck.analysis import roles
from pincheck.analysis.case import Case
from pincheck.model.claim import Claim, PinValue
from pincheck.model.finding import Finding, Moment, Severity
from pincheck.rules.rule import Outcomes, example, rule

_SECOND = ("marsh-230-c.toml", "[[cables]]", '[chips]\nheron = "main"\n\n[[cables]]')
_FAN = ("toolhead.cfg", "pin: PB6", "pin: heron:PB6")


@rule(
    Severity.FAULT,
    when=Moment.SWITCH_ON,
    source="common practice",
    fires=example("section", _SECOND, _FAN),
    quiet=example(
        "section",
        _SECOND,
        _FAN,
        ("machine.cfg", "[mcu]", "[mcu heron]\nserial: /dev/second\n\n[mcu]"),
    ),
)
def chip_not_set_up(case: Case) -> Outcomes:
    """Look for the section of each chip name that the wiring knows and pins carry."""
    if not case.claims.chips:
        return  # a fragment sets up no chip at all: it is for a machine that does
    style = styles.of(case.claims.style)
    pins: dict[str, list[Claim]] = {}
    for claim in case.claims.all:
        if isinstance(claim.value, PinValue) and claim.active and not claim.value.virtual:
            name = style.parted(claim.value.written).chip
            if name in case.assembly.chips and name not in {*case.claims.chips, *style.main_chips}:
                pins.setdefault(name, []).append(claim)
    for name, claims in pins.items():
        if any(case.claims.doubt(claim.role, "pin") for claim in claims):
            continue
        lost = tuple(dict.fromkeys(claim.role for claim in claims))
        listed = roles.listed([f"the {roles.name(role)}" for role in lost[:3]])
        more = f" and {len(lost) - 3} more" if len(lost) > 3 else ""
        yield Finding(
            spots=tuple((role, "pin") for role in lost),
            message=(
                f"No chip called {name!r} is set up, and pins of it are claimed for {listed}{more}:"
                " the firmware does not start."
            ),
            claims=tuple(claims[:1]),
            advice=f"Set {name!r} up, or use the name that the configuration gives the chip.",
        )
