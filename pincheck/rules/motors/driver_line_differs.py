"""A line of a motor's driver is on another pin, or has another sense, than the driver's own.

Beside its steps a driver has a direction, an enabling and perhaps a serial line. On a wrong pin
the motor turns one way only, is never switched on, or the firmware finds no driver and stops; with
the enabling the wrong way round, or with none, it is off whenever it should move.
"""

from collections.abc import Iterator

from pincheck import styles
from pincheck.analysis import roles
from pincheck.analysis.case import Case, fact, stated
from pincheck.chips import canonical
from pincheck.model.claim import Claim, PinValue, Place
from pincheck.model.finding import Agreement, Finding, Severity, Unchecked
from pincheck.model.path import Wired
from pincheck.model.wiring import Driver
from pincheck.rules.rule import Outcomes, example, rule

_LINES = {
    "dir_pin": ("direction", "it turns one way only"),
    "enable_pin": ("enabling", "it is never switched on, or never off"),
    "uart_pin": ("serial line", "the firmware finds no driver there and stops"),
    "cs_pin": ("chip select", "the firmware finds no driver there and stops"),
}

_OFF = "the motor is off when it should move"


@rule(
    Severity.FAULT,
    source="common practice",
    fires=example("section", ("machine.cfg", "dir_pin: !PA5", "dir_pin: !PC9")),
    quiet=example("section", ("machine.cfg", "dir_pin: !PA5", "dir_pin: PA5")),
)
def driver_line_differs(case: Case) -> Outcomes:
    """Compare each line that the firmware has for the driver of a fitted motor."""
    for wired in case.fitted("motor"):
        for attribute in _LINES if wired.path.driver else ():
            line, own = case.known(wired.role, attribute), _own(case, wired, attribute)
            if case.claims.find(wired.role, attribute) is None or own is None:
                continue
            if isinstance(line, Unchecked):
                yield line
            elif line:
                found = tuple(_judged(case, line, wired, own))
                yield from found or (Agreement(wired.role, attribute),)
        if wired.path.driver:
            yield from _by_itself(case, wired, wired.path.driver)


def _by_itself(case: Case, wired: Wired, driver: Driver) -> Outcomes:
    """Judge what no pin says: the address on a shared line, and the level that enables."""
    address = case.known(wired.role, "driver_address")
    if isinstance(address, Claim) and driver.uart_address is not None:
        if stated(address) == driver.uart_address:
            yield Agreement(wired.role, "driver_address")
        else:
            told = f"is set up at address {stated(address):g}, and it has {driver.uart_address}"
            yield _told(wired, address, f"{told}: {_LINES['uart_pin'][1]}")
    level, own = case.known(wired.role, "enabled_when"), "high" if driver.enable_high else "low"
    if isinstance(level, Claim) and level.value == own:
        yield Agreement(wired.role, "enabled_when")
    elif isinstance(level, Claim):
        told = "never enabled" if level.value == "never" else f"enabled by a {level.value} level"
        yield _told(wired, level, f"is {told}, and it is on while that is {own}: {_OFF}")


def _told(wired: Wired, claim: Claim, told: str) -> Finding:
    return Finding(
        spots=((wired.role, claim.attribute),),
        message=f"The driver of the {roles.name(wired.role)} {told}.",
        claims=(claim,),
        facts=(fact(wired, claim.attribute, wired.path.driver.name if wired.path.driver else ""),),
        advice="Write there what the driver has.",
    )


def _own(case: Case, wired: Wired, attribute: str) -> Place | None:
    """Return the pin that a driver has for a line, None where the wiring does not say."""
    board = next((hop.board for hop in wired.path.hops if hop.kind == "driver"), "")
    pin = getattr(wired.path.driver, attribute)
    return Place(board, canonical(case.assembly.boards[board].chip, pin)) if pin and board else None


def _judged(case: Case, line: Claim, wired: Wired, own: Place) -> Iterator[Finding]:
    driver, pin = wired.path.driver, line.value
    assert driver
    assert isinstance(pin, PinValue)
    words, effect = _LINES[line.attribute]
    name, style = roles.name(wired.role), styles.of(case.claims.style)
    spot = (wired.role, line.attribute)
    if pin.place is None:
        yield Finding(
            spots=(spot,),
            message=f"The {words} of the {name}'s driver has no pin: the motor does not turn.",
            claims=(line,),
            facts=(fact(wired, line.attribute, case.at(own)),),
            advice=f"Name {case.at(own)} there.",
        )
    elif not case.same(pin.place, own):
        yield Finding(
            spots=(spot,),
            message=(
                f"The {words} of the {name}'s driver is set to {case.at(pin.place)}, and the "
                f"driver has it at {case.at(own)}: {effect}."
            ),
            claims=(line,),
            facts=(fact(wired, line.attribute, case.at(own)),),
            advice=f"Write {case.at(own)} there.",
        )
    elif line.attribute == "enable_pin" and style.pulls:
        low = style.parted(pin.written).inverted
        if low is driver.enable_high:
            level = "high" if driver.enable_high else "low"
            yield Finding(
                spots=(spot,),
                message=(
                    f"The driver of the {name} is on while {case.at(own)} is {level}, and the "
                    f"firmware takes it the other way round: {_OFF}."
                ),
                claims=(line,),
                facts=(fact(wired, line.attribute, f"on while {level}"),),
                advice=f"{'Take' if low else 'Put'} the ! before the pin{' away' if low else ''}.",
            )
