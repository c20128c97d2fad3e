"""The console of the section style."""

from pincheck.model.claim import Claims
from pincheck.model.role import split
from pincheck.styles.console import DEPLOY_DEG, STOW_DEG, Console, Lines, pin_line


class SectionConsole(Console):
    """The console of a style that names its things."""

    __slots__ = ()
    all_off = ("TURN_OFF_HEATERS",)

    def heat(self, claims: Claims, role: str, target_c: float) -> Lines:
        setting = pin_line(claims, role)
        name = setting[0].split(" ")[-1] if setting else ""
        return (f"SET_HEATER_TEMPERATURE HEATER={name} TARGET={target_c:g}",) if name else ()

    def fan(self, claims: Claims, role: str, on: bool) -> Lines:
        kind, _, name = (pin_line(claims, role) or ("", ""))[0].partition(" ")
        if kind == "fan":
            return (f"M106 S{255 if on else 0}",)
        return (f"SET_FAN_SPEED FAN={name} SPEED={on:d}",) if kind == "fan_generic" else ()

    def switch(self, claims: Claims, role: str) -> str:
        kind, _, name = (pin_line(claims, role) or ("", ""))[0].partition(" ")
        if kind.startswith("filament_"):
            return f"QUERY_FILAMENT_SENSOR SENSOR={name}"
        return "QUERY_PROBE" if split(role)[0] == "probe" else self.switches

    def servo(self, claims: Claims, deploy: bool) -> Lines:
        kind, _, name = (pin_line(claims, "probe.servo") or ("", ""))[0].partition(" ")
        if kind == "servo":
            return (f"SET_SERVO SERVO={name} ANGLE={DEPLOY_DEG if deploy else STOW_DEG}",)
        return (f"BLTOUCH_DEBUG COMMAND=pin_{'down' if deploy else 'up'}",)

    def move(self, claims: Claims, role: str) -> Lines:
        """Return what moves a motor to and fro, which needs neither homing nor heat."""
        section = (pin_line(claims, role) or ("", ""))[0]
        return (f"STEPPER_BUZZ STEPPER={section.replace(' ', '_')}",) if section else ()
