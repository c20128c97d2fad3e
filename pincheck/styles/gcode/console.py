"""The console of the gcode style."""

import re

from pincheck.model.claim import Claims
from pincheck.model.role import split
from pincheck.styles.console import DEPLOY_DEG, STOW_DEG, Console, Lines, pin_line


class GcodeConsole(Console):
    """The console of a style that numbers its things."""

    __slots__ = ()
    all_off = ("M568 P0 A0", "M140 S0")
    free_move = "G1 H2"

    def heat(self, claims: Claims, role: str, target_c: float) -> Lines:
        """Return what sets a heater's target; tools by number, the state A from memory."""
        group, number, _ = split(role)
        if group != "hotend":
            return super().heat(claims, role, target_c)
        state = f"S{target_c:g} A2" if target_c else "A0"
        return (f"M568 P{number} {state}",)

    def _fan_number(self, claims: Claims, role: str) -> int | None:
        found = re.search(r"(?:M950 F|M106 P)(\d+)", (pin_line(claims, role) or ("", ""))[0])
        if found is None or claims.find(role, "watches"):
            return None
        return int(found[1])

    def switch(self, claims: Claims, role: str) -> str:
        found = re.search(r"M591 (D\d+)", (pin_line(claims, role) or ("", ""))[0])
        return f"M591 {found[1]}" if found else self.switches

    def servo(self, claims: Claims, deploy: bool) -> Lines:
        found = re.search(r"M950 S(\d+)", (pin_line(claims, "probe.servo") or ("", ""))[0])
        number = found[1] if found else "0"
        return (f"M280 P{number} S{DEPLOY_DEG if deploy else STOW_DEG}",)
