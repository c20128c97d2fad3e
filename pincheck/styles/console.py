"""What is typed at a machine's console: the commands that all styles have, and how each is spelt.

Sources: the public documentation of each style; what is from memory says so.
"""

import re

from pincheck.model.claim import Claims
from pincheck.model.role import split

Lines = tuple[str, ...]
"""Commands to type one after another; empty where the style has none for this machine."""

_SHOWN = {"hotend": "T", "bed": "B", "chamber": "C"}
DEPLOY_DEG, STOW_DEG = 10, 90
"""Angles by which a servo probe is told what to do (`common practice`)."""

_MOVE_MM, _MOVE_MM_MIN = 5, 300


class Console:
    """The commands of a style of single letters, and those that every style understands."""

    __slots__ = ()

    identity = "M115"
    temperatures = "M105"
    switches = "M119"
    stop = "M112"
    all_off: Lines = ("M104 S0", "M140 S0")
    free_move = "G1"
    """What moves a motor that was not homed."""

    def heat(self, claims: Claims, role: str, target_c: float) -> Lines:
        """Return what sets a heater's target in C; 0 switches it off."""
        del claims
        group, number, _ = split(role)
        target = f"S{target_c:g}"
        if group == "hotend":
            return (f"M104 {f'T{number} ' if number else ''}{target}",)
        letter = {"bed": "M140", "chamber": "M141"}.get(group)
        return (f"{letter} {target}",) if letter else ()

    def fan(self, claims: Claims, role: str, on: bool) -> Lines:
        """Return what switches a fan fully on, or off; empty where no command reaches it."""
        number = self._fan_number(claims, role)
        return () if number is None else (f"M106 P{number} S{255 if on else 0}",)

    def _fan_number(self, claims: Claims, role: str) -> int | None:
        group, number, _ = split(role)
        setting = pin_line(claims, role)
        if group != "part":
            return None
        found = re.search(r"FAN(\d+)_PIN", setting[1]) if setting else None
        return int(found[1]) if found else number

    def switch(self, claims: Claims, role: str) -> str:
        """Return what asks for the state of an end stop, a probe or a filament sensor."""
        del claims, role
        return self.switches

    def servo(self, claims: Claims, deploy: bool) -> Lines:
        """Return what sends a servo probe's pin out, or back in, and moves nothing else."""
        del claims
        return (f"M280 P0 S{DEPLOY_DEG if deploy else STOW_DEG}",)

    def move(self, claims: Claims, role: str) -> Lines:
        """Return what moves one motor a little way off its low end; empty for an extruder's.

        A cold extruder's is refused, and rightly so.
        """
        del claims
        letter = split(role)[0].upper()
        if letter not in ("X", "Y", "Z"):
            return ()
        return ("G91", f"{self.free_move} {letter}{_MOVE_MM} F{_MOVE_MM_MIN}", "G90")

    def home(self, axis: str) -> Lines:
        """Return what homes one axis."""
        return (f"G28 {axis.upper()}",)

    def shown_as(self, role: str) -> Lines:
        """Return the names by which the answer to `temperatures` tells a sensor."""
        group, number, _ = split(role)
        letter = _SHOWN.get(group, "")
        if not letter:
            return ()
        if letter == "T":
            return (f"T{number}", "T") if number == 0 else (f"T{number}",)
        return () if number else (letter, f"{letter}0")

    def switch_as(self, role: str) -> Lines:
        """Return the names by which an answer tells a switch, in small letters."""
        group, number, _ = split(role)
        if group in ("x", "y", "z"):
            name = f"{group}{number + 1}" if number else group
            return (name, f"{name}_min", f"{name}_max")
        if group == "probe":
            return ("probe", "z_probe", "z probe", "z", "z_min")
        return ("filament", f"filament {number + 1}") if group == "filament" else ()


def pin_line(claims: Claims, role: str) -> tuple[str, str] | None:
    """Return section and key of the line that gives a role its pin, None without one."""
    claim = claims.find(role, "pin")
    setting = claim.setting if claim else None
    return (setting.section, setting.key) if setting else None
