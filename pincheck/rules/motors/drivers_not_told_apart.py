"""Two drivers are set up on one line under one address.

Drivers that share a serial line are told apart by their addresses, those on a bus by their chip
selects. Where two have the same, both take what is meant for one of them and both answer: the
firmware reads a jumble and stops, or each motor runs at the other's current.
"""

from collections.abc import Iterator

from pincheck.analysis import roles
from pincheck.analysis.case import Case, origin, value
from pincheck.analysis.motor_current import SET_BY_WIRE
from pincheck.model.claim import Claim, PinValue
from pincheck.model.finding import Finding, Severity, Unchecked
from pincheck.rules.rule import Outcomes, example, rule

_LINES = ("uart_pin", "cs_pin", "driver_port")
_SECOND = ("machine.cfg", "uart_pin: PB14", "uart_pin: PB13")


@rule(
    Severity.FAULT,
    source="common practice",
    fires=example("section", _SECOND),
    quiet=example("section", ("machine.cfg", "uart_pin: PB14", "uart_pin: PB13\nuart_address: 1")),
)
def drivers_not_told_apart(case: Case) -> Outcomes:
    """Compare line and address of all drivers that the firmware sets up, fitted or not."""
    met: dict[tuple[tuple[str, ...], float], tuple[str, Claim]] = {}
    for role in (role for role in case.roles if roles.function(role) == "motor"):
        kind, address = case.known(role, "driver_kind"), case.known(role, "driver_address")
        if not isinstance(kind, Claim) or not SET_BY_WIRE.fullmatch(str(kind.value).lower()):
            continue
        lines = tuple(_lines(case, role))
        if lines and not isinstance(address, Unchecked):
            number = value(address) if address else 0.0
            first = met.setdefault((tuple(map(_shown, lines)), number), (role, lines[0]))
            if first[0] != role:
                yield _finding(first, role, (lines[0], *((address,) if address else ())), number)


def _lines(case: Case, role: str) -> Iterator[Claim]:
    for attribute in _LINES:
        claim = case.known(role, attribute)
        pin = claim.value if isinstance(claim, Claim) else None
        if isinstance(claim, Claim) and not (isinstance(pin, PinValue) and pin.place is None):
            yield claim


def _shown(line: Claim) -> str:
    pin = line.value
    return str(pin.place) if isinstance(pin, PinValue) else str(pin)


def _finding(first: tuple[str, Claim], role: str, own: tuple[Claim, ...], number: float) -> Finding:
    line = own[0]
    where = line.value.written if isinstance(line.value, PinValue) else line.value
    return Finding(
        spots=tuple((it, line.attribute) for it in (first[0], role)),
        message=(
            f"The drivers of the {roles.name(first[0])} ({origin(first[1])}) and of the "
            f"{roles.name(role)} are both set up at {where}, address {number:g}: each takes what "
            f"is meant for the other, and the firmware understands neither."
        ),
        claims=(line, first[1], *own[1:]),
        advice="Give each driver the line, or the address, that it is wired for.",
    )
