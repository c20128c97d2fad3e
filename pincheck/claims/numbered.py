"""Pins that scripts of the older generation name by a number alone, from the board's own list."""

import re
from collections.abc import Iterator

from pincheck.claims.interpretation import Interpretation
from pincheck.claims.shown import SEEN, text_of
from pincheck.model.claim import Claim
from pincheck.model.role import role
from pincheck.model.setting import Setting

_KEY = re.compile(
    r"M106 P(?P<fan>\d+)|M307 H(?P<heater>\d+)|M305 P(?P<sensor>\d+)"
    r"|M574 (?P<axis>[XYZ])|M558 P(?P<probe>\d+)"
)

_ATTRIBUTES = {"axis": ("pin", "homing_pin")}
_CONVERTER = 100
"""From here on M305's X counts the channels of converters, not the board's own inputs."""


def by_number(machine: Interpretation) -> bool:
    """Return whether these are scripts of the older generation, which can name no pin."""
    sections = machine.shown.sections
    return any(s.startswith("M305") for s in sections) and not any(
        s.startswith(("M950", "M308")) for s in sections
    )


def numbered_pins(machine: Interpretation) -> Iterator[Claim]:
    """Yield a claim for every number that the scripts use and the main board gives a pin.

    Scripts of the newer generation name every pin themselves.
    """
    assembly = machine.assembly
    if assembly is None or not assembly.main or not by_number(machine):
        return
    board = assembly.boards[assembly.main]
    for key, pin in board.stock_pins.items():
        asked = _KEY.fullmatch(key)
        if asked is None or asked.lastgroup is None:
            continue
        setting, who = _who(machine, asked.lastgroup, asked[asked.lastgroup])
        if setting and who:
            value = machine.pins.read(pin)
            origin = f"{key} of {board.title}"
            for attribute in _ATTRIBUTES.get(asked.lastgroup, ("pin",)):
                yield Claim(who, attribute, value, setting, origin=origin, unknown=value.unknown)


def _who(machine: Interpretation, kind: str, number: str) -> tuple[Setting | None, str]:
    """Return the first line that uses a number, and the role that it speaks of; nothing else."""
    match kind:
        case "axis":
            setting = _used(machine, f"M574 {number}")
            said = ((key, machine.shown.active(f"M574 {number}", key)) for key in ("S", number))
            # type 2 is the probe, and end 0 no end stop at all
            if any(it and (key, text_of(it)) in (("S", "2"), (number, "0")) for key, it in said):
                return None, ""
            return setting, str(role(number.lower(), 0, "endstop"))
        case "probe":
            kind_of = machine.shown.active("M558", "P")
            fits = kind_of is not None and text_of(kind_of) == number
            return (kind_of, str(role("probe", 0, "signal"))) if fits else (None, "")
    if kind == "sensor":
        channel = machine.things.link("input of heater", number)
        if channel.isdecimal() and int(channel) >= _CONVERTER:
            return None, ""
    sections = (f"M106 P{number}",) if kind == "fan" else (f"M305 P{number}", f"M307 H{number}")
    setting = next(filter(None, (_used(machine, section) for section in sections)), None)
    group = machine.groups.of("fan" if kind == "fan" else "heater", number)
    try:
        return setting, str(role(*group, kind)) if group else ""
    except ValueError:
        return None, ""


def _used(machine: Interpretation, section: str) -> Setting | None:
    settings = machine.shown.in_section(section)
    return next((s for s in settings if s.activity in SEEN and s.key), None)
