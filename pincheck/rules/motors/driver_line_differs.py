"""A line of a motor's driver is on another pin, or has another sense, than the driver's own.

Beside its steps a driver has a direction, an enabling and perhaps a serial line. On a wrong pin
the motor turns one way only, is never switched on, or the firmware finds no driver and stops; with
the enabling the wrong way round it is off whenever it should move.
"""

import re
from collections.abc import Iterator

from attrs import evolve

from pincheck import styles
from pincheck.analysis import roles
from pincheck.analysis.case import Case, fact
from pincheck.chips import canonical
from pincheck.model.claim import Claim, PinValue, Place
from pincheck.model.finding import Finding, Severity
from pincheck.model.path import Wired
from pincheck.rules.rule import Outcomes, example, rule

_LINES = {
    "dir_pin": ("direction", "it turns one way only"),
    "enable_pin": ("enabling", "it is never switched on, or never off"),
    "uart_pin": ("serial line", "the firmware finds no driver there and stops"),
}
_KEY = re.compile(r"(?:(?P<motor>[xyze]\d?)_)?(?P<line>dir_pin|enable_pin|uart_pin)", re.IGNORECASE)

_MOTOR = re.compile(r"(?P<axis>[xyze])(?P<number>\d?)")


@rule(
    Severity.FAULT,
    source="common practice",
    fires=example("section", ("machine.cfg", "dir_pin: !PA5", "dir_pin: !PC9")),
    quiet=example("section", ("machine.cfg", "dir_pin: !PA5", "dir_pin: PA5")),
)
def driver_line_differs(case: Case) -> Outcomes:
    """Compare each line of a driver whose motor's steps are claimed or fitted."""
    for line in case.claims.elsewhere:
        key = _KEY.fullmatch(line.setting.key) if line.setting else None
        role = _role(case, line, key["motor"] or "") if key else ""
        wired = case.trace.find(role) if role else None
        if key and wired and wired.path.driver and not line.doubt:
            yield from _judged(case, evolve(line, role=role), key["line"].lower(), wired)


def _role(case: Case, line: Claim, motor: str) -> str:
    """Return the motor whose steps the same section sets, or the same prefix of a key."""
    assert line.setting
    section = line.setting.section
    sections = (section, section.partition(" ")[2])
    motors = (c for c in case.claims.all if roles.function(c.role) == "motor")
    for claim in motors:
        steps = claim.setting if claim.attribute == "pin" else None
        if steps and (
            (section and steps.section in sections)
            or (motor and steps.key.lower() == f"{motor.lower()}_step_pin")
        ):
            return claim.role
    # Where the board's own header sets the steps, no line does; the second of an axis is number 2.
    named = _MOTOR.fullmatch(motor.lower())
    if named is None or styles.of(case.claims.style).sections:
        return ""
    extruder, number = named["axis"] == "e", int(named["number"] or 0)
    group = "extruder" if extruder else named["axis"]
    return f"{group}{(number if extruder else max(number - 1, 0)) or ''}.motor"


def _judged(case: Case, line: Claim, key: str, wired: Wired) -> Iterator[Finding]:
    driver, (words, effect) = wired.path.driver, _LINES[key]
    board = next((hop.board for hop in wired.path.hops if hop.kind == "driver"), "")
    assert driver
    assert isinstance(line.value, PinValue)
    assert line.value.place
    pin = getattr(driver, key)
    own = Place(board, canonical(case.assembly.boards[board].chip, pin)) if pin and board else None
    name, here = roles.name(wired.role), case.at(line.value.place)
    style = styles.of(case.claims.style)
    if own and not case.same(line.value.place, own):
        yield Finding(
            spots=((wired.role, "pin"),),
            message=(
                f"The {words} of the {name}'s driver is set to {here}, and the driver has it at "
                f"{case.at(own)}: {effect}."
            ),
            claims=(line,),
            facts=(fact(wired, "pin", case.at(own)),),
            advice=f"Write {case.at(own)} there.",
        )
    elif key == "enable_pin" and style.pulls:
        low = style.parted(line.value.written).inverted
        if low is driver.enable_high:
            level = "high" if driver.enable_high else "low"
            yield Finding(
                spots=((wired.role, "pin"),),
                message=(
                    f"The driver of the {name} is on while {here} is {level}, and the firmware "
                    f"takes it the other way round: the motor is off when it should move."
                ),
                claims=(line,),
                facts=(fact(wired, "pin", f"on while {level}"),),
                advice=f"{'Take' if low else 'Put'} the ! before the pin{' away' if low else ''}.",
            )
