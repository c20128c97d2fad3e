"""Functions of the machine, in trade words.

A role is `group.function`; a group that exists several times carries its tool number, the
first one none: `hotend.heater`, `hotend1.heater`, `part.fan`, `part1.fan`.
"""

import re
from functools import lru_cache
from typing import NewType

Role = NewType("Role", str)

FUNCTIONS: dict[str, tuple[str, ...]] = {
    "hotend": ("heater", "sensor", "fan", "tachometer", "block"),
    "part": ("fan", "tachometer"),
    "bed": ("heater", "sensor", "plate"),
    "chamber": ("heater", "sensor", "fan", "tachometer"),
    "probe": ("signal", "servo", "sensor"),
    "extruder": ("motor",),
    "x": ("endstop", "motor"),
    "y": ("endstop", "motor"),
    "z": ("endstop", "motor"),
    "filament": ("sensor",),
    "controller": ("fan", "tachometer"),
    "board": ("sensor",),
    "aux": ("heater", "sensor", "fan", "tachometer", "output"),
}
"""Every group with its functions; the order is that of every table."""

_FORM = re.compile(r"([a-z]+?)([1-9][0-9]?)?\.([a-z]+)")


@lru_cache(maxsize=1024)
def split(role: str) -> tuple[str, int, str]:
    """Return group, number (0 where the role carries none) and function.

    Raises:
        ValueError: `role` is no known role.
    """
    form = _FORM.fullmatch(role)
    if form is None or form[3] not in FUNCTIONS.get(form[1], ()):
        raise ValueError(f"{role!r} is no known role")
    return form[1], int(form[2] or 0), form[3]


def is_role(text: str) -> bool:
    """Whether `text` is the name of a role."""
    try:
        split(text)
    except ValueError:
        return False
    return True


def role(group: str, number: int, function: str) -> Role:
    """Return the role of `function` in the `number`-th group.

    Raises:
        ValueError: no such role.
    """
    name = f"{group}{number or ''}.{function}"
    split(name)
    return Role(name)


def sibling(of: str, function: str) -> Role:
    """Return the role of another function in the same group: heater to sensor, say."""
    group, number, _ = split(of)
    return role(group, number, function)


def names() -> tuple[str, ...]:
    """Return every role without numbers, for near-miss hints."""
    return tuple(f"{group}.{fn}" for group, fns in FUNCTIONS.items() for fn in fns)


def order(name: str) -> tuple[int, int, int]:
    """Return a sort key that puts roles in the order of `FUNCTIONS`."""
    group, number, function = split(name)
    return list(FUNCTIONS).index(group), number, FUNCTIONS[group].index(function)
