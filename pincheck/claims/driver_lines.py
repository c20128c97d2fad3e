"""The further lines of a motor's driver: set beside its steps, under a name that follows theirs."""

import re
from collections.abc import Iterable, Iterator

from attrs import evolve

from pincheck.claims.interpretation import Interpretation
from pincheck.claims.shown import text_of
from pincheck.model.claim import Claim, PinValue
from pincheck.model.role import split
from pincheck.model.setting import Setting
from pincheck.model.wiring import Board

_LINES = {"dir": "DIR", "enable": "ENABLE", "uart": "SERIAL_TX", "cs": "CS"}
"""How the key of a driver's line calls it in place of the steps, in small letters and capitals."""
_NEEDED = ("dir", "enable")
_STEPS = re.compile("step(?=_pin$)", re.IGNORECASE)
_OF_STOCK = re.compile(r"\((\w+)\)$")


def driver_lines(
    machine: Interpretation, board: Board | None, kept: Iterable[Claim]
) -> Iterator[Claim]:
    """Yield a claim of each line of a driver whose steps have a pin.

    One that the section of the steps has to set and does not is a claim of no pin.
    """
    for steps in kept:
        if steps.attribute != "pin" or split(steps.role)[2] != "motor" or not steps.active:
            continue
        stock = _OF_STOCK.search(steps.origin)
        key = steps.setting.key if steps.setting else stock[1] if stock else ""
        section = steps.setting.section if steps.setting else ""
        for line, capitals in _LINES.items() if _STEPS.search(key) else ():
            name = _STEPS.sub(capitals if key.isupper() else line, key)
            if found := _set(machine, section, name):
                yield _claim(machine, steps.role, line, text_of(found), found)
            elif board and name in board.stock_pins:
                origin = f"stock pin of {board.title} ({name})"
                made = _claim(machine, steps.role, line, board.stock_pins[name], None)
                yield evolve(made, origin=origin)
            elif steps.setting and line in _NEEDED:
                nothing = PinValue("", absent=True)
                origin = f"no {name} in {machine.style.place(section)}"
                unknown = "" if section else f"neither the files nor the wiring say {name}"
                if missing := next(iter(machine.not_sent), None):
                    unknown = f"{missing.name} was not {missing.verb} and could set {name}"
                yield Claim(
                    steps.role, f"{line}_pin", nothing, None, origin, unknown, near=steps.setting
                )


def _set(machine: Interpretation, section: str, name: str) -> Setting | None:
    """Return the line of the same section, or of one that is about it."""
    about = (s for s in machine.shown.sections if section and s.partition(" ")[2] == section)
    found = (machine.shown.active(place, name) for place in (section, *about))
    return next(filter(None, found), None)


def _claim(
    machine: Interpretation, role: str, line: str, text: str, setting: Setting | None
) -> Claim:
    pin = evolve(machine.pins.read(text), written=text)
    unknown = setting.unknown if setting and setting.resolved is None else ""
    return Claim(role, f"{line}_pin", pin, setting, unknown=unknown or pin.unknown)
