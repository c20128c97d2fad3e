"""What the answers of a machine's console say, in the forms of every style.

Forms: public documentation of each style's console; those marked so are from memory.
"""

import re
from collections.abc import Iterable

from pincheck.model.frozen import frozen

_TEMPERATURE = re.compile(
    r"(?<![\w@])(?P<name>[A-Za-z]\w*)\s*:\s*(?P<now>-?\d+(?:\.\d+)?)"
    r"(?:\s*/\s*(?P<target>-?\d+(?:\.\d+)?))?"
)
_TELLS_TEMPERATURE = re.compile(r"(?<![\w@])(?:T\d*|B)\s*:\s*-?\d")
_SWITCH = re.compile(
    r"(?P<name>[A-Za-z][A-Za-z0-9_]*(?: probe| \d)?)\s*:\s*"
    r"(?P<state>open|triggered|not (?:stopped|triggered)|at (?:\w+ )?(?:end)?stop)\b",
    re.IGNORECASE,
)
_OPEN = ("open", "not")
_FILAMENT = re.compile(
    r"filament sensor \S+: (?P<there>filament detected)|filament present: (?P<yes>yes)"
    r"|(?P<none>filament not detected|filament present: no)",
    re.IGNORECASE,
)
_HIGHEST_C = 2500.0
"""A figure beyond stands for an open sensor in every style (from memory)."""


@frozen(repr=True)
class Shown:
    """A temperature as the firmware shows it, and its target; None where it tells none."""

    now_c: float
    target_c: float | None = None


def temperatures(lines: Iterable[str]) -> dict[str, Shown]:
    """Return the temperatures that an answer tells, by their short names: `T`, `T0`, `B`."""
    found: dict[str, Shown] = {}
    for line in lines:
        if not _TELLS_TEMPERATURE.search(line):
            continue
        for match in _TEMPERATURE.finditer(line):
            now, target = float(match["now"]), match["target"]
            if abs(now) <= _HIGHEST_C:
                found[match["name"].upper()] = Shown(now, float(target) if target else None)
    return found


def switches(lines: Iterable[str]) -> dict[str, bool]:
    """Return which switches an answer tells of, by name in small letters: True is triggered.

    For a filament sensor that says whether there is filament, True means that there is none.
    """
    found: dict[str, bool] = {}
    for line in lines:
        for match in _SWITCH.finditer(line):
            found[match["name"].lower()] = not match["state"].lower().startswith(_OPEN)
        if filament := _FILAMENT.search(line):
            found["filament"] = bool(filament["none"])
    return found
