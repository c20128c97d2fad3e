"""A fitted part reaches no chip pin.

The copper ends before it gets to the chip: a pin that the ribbon does not carry, a net that
nothing drives, a socket of another revision. No setting of the firmware can reach the part.
"""

from collections.abc import Iterator

from pincheck.analysis import roles
from pincheck.analysis.case import Case
from pincheck.model.claim import PinValue
from pincheck.model.finding import Agreement, Finding, Severity, Unchecked
from pincheck.model.path import Wired
from pincheck.rules.copper.wiring_faults import findings
from pincheck.rules.rule import Outcomes, example, rule


@rule(
    Severity.DANGER,
    source="common practice",
    fires=example(
        "section",
        (
            "boards/lapwing-c.toml",
            '"FAN_HOTEND", "",            #  7  8',
            '"", "",                      #  7  8',
        ),
    ),
    quiet=example(
        "section",
        (
            "boards/lapwing-c.toml",
            '"24V", "24V",                #  5  6',
            '"24V", "",                   #  5  6',
        ),
    ),
)
def no_chip_pin(case: Case) -> Outcomes:
    """Take the faults of this kind from the trace, what nobody means to switch or read apart."""
    alone = {wired.role: known for wired, known in _left_alone(case)}
    for role, known in alone.items():
        yield known or Agreement(role, "pin")
    told = findings(
        case,
        kind="no-chip-pin",
        attribute="pin",
        effect="No setting of the firmware can drive or read it.",
        unless=("supply-on-signal", "supplies-joined", "reversed"),
        dead=True,
        advice="Compare the pins of both ends of the cable, and the revision of the board.",
    )
    yield from (one for one in told if isinstance(one, Finding) and one.role not in alone)


def _left_alone(case: Case) -> Iterator[tuple[Wired, Unchecked | None]]:
    """Yield the fans straight on the supply, and open tachometers, that no setting asks for.

    Those of the hot end and the controller run whenever the machine is on (common practice). The
    second is why it is not certain that none asks for one.
    """
    for wired in case.fitted("fan", "tachometer"):
        cools = wired.always_on and roles.family(wired.role) in ("hotend.fan", "controller.fan")
        opened = roles.function(wired.role) == "tachometer" and wired.place is None
        if not (cools or opened):
            continue
        known = case.known(wired.role, "pin")
        if isinstance(known, Unchecked):
            yield wired, known
        elif known is None or (isinstance(known.value, PinValue) and known.value.absent):
            yield wired, None
