"""A controller on a line that answers in each style's manner, heats, and misbehaves on purpose."""

import os
import re
import threading
import tty

from attrs import define, field

from pincheck.physics.thermal import PLATE, ThermalBlock

POWER_W = {"T": 40.0, "B": 200.0}
BLOCKS = {"T": ThermalBlock(), "B": PLATE}
HAND_K_S = 0.4

REPORTS = {
    "define": ("ok T:{T:.2f} /{gT:.2f} B:{B:.2f} /{gB:.2f} @:0 B@:0",),
    "section": ("ok B:{B:.1f} /{gB:.1f} T0:{T:.1f} /{gT:.1f}",),
    "gcode": ("T0:{T:.1f} /{gT:.1f} /0.0 B:{B:.1f} /{gB:.1f}", "ok"),
}


@define(eq=False)
class Simulated:
    """One machine: what it is asked in bytes, what it answers, and the physics in between.

    It is its own clock: time passes only where somebody pauses.
    """

    style: str
    swapped: bool = False
    inverted: frozenset[str] = frozenset()
    dead: frozenset[str] = frozenset()
    loose: frozenset[str] = frozenset()
    breaks: frozenset[str] = frozenset()
    plugged: bool = False
    silent: bool = False
    reset_at: int = -1
    garble: frozenset[int] = frozenset()
    lose: frozenset[int] = frozenset()
    busy: int = 0
    room_c: float = 25.0
    time_s: float = 0.0
    block_c: dict[str, float] = field(factory=lambda: {"T": 25.0, "B": 25.0})
    shown_c: dict[str, float] = field(factory=lambda: {"T": 25.0, "B": 25.0})
    target_c: dict[str, float] = field(factory=lambda: {"T": 0.0, "B": 0.0})
    held: str = ""
    pressed: str = ""
    fans: dict[str, bool] = field(factory=dict)
    got: list[str] = field(factory=list)
    expected: int = 0
    count: int = 0

    # The clock

    def now(self) -> float:
        return self.time_s

    def pause(self, seconds: float) -> None:
        """Heat and cool by the lumped model, in steps far below its time constants."""
        steps = max(1, round(seconds / 0.1))
        for _ in range(steps):
            for name, block in BLOCKS.items():
                on = self.target_c[name] > self.block_c[name]
                power = POWER_W[name] if on and name not in self.dead else 0.0
                flow = power - block.loss_w_k * (self.block_c[name] - self.room_c)
                self.block_c[name] += flow / block.heat_capacity_j_k * seconds / steps
                if name == self.held:
                    self.block_c[name] += HAND_K_S * seconds / steps
                if name in self.loose and self.plugged:
                    continue  # its sensor slipped out of the block as the heater was put back
                lag = self.block_c[name] - self.shown_c[name]
                self.shown_c[name] += lag / block.sensor_lag_s * seconds / steps
        self.time_s += seconds

    # The console

    def respond(self, raw: bytes) -> list[str]:
        """Return the lines that answer one line."""
        self.count += 1
        if self.silent or self.count in self.lose:
            return []
        if self.count == self.reset_at:
            self.expected, self.target_c = 0, {"T": 0.0, "B": 0.0}
            return ["ok T:2start", "echo: External Reset"]
        body, _, checksum = raw.decode().rpartition("*")
        right = 0
        for byte in body.encode():
            right ^= byte
        number, _, command = body[1:].partition(" ")
        bad = self.count in self.garble or int(checksum) != right
        if bad or (command != "M110 N0" and int(number) != self.expected):
            what = "checksum mismatch" if bad else "Line Number is not Last Line Number+1"
            said = f"Error:{what}, Last Line: {self.expected - 1}"
            return [said, f"Resend: {self.expected}", "ok"]
        self.expected = int(number) + 1
        self.got.append(command)
        return [*["echo:busy: processing"] * self.busy, *self._answer(command)]

    def _answer(self, command: str) -> list[str]:
        if command == "M105":
            broken = self.breaks if self.plugged else ()
            shown = {name: -15.0 if name in broken else c for name, c in self.shown_c.items()}
            if self.swapped:
                shown = {"T": shown["B"], "B": shown["T"]}
            goals = {f"g{name}": c for name, c in self.target_c.items()}
            return [line.format(**shown, **goals) for line in REPORTS[self.style]]
        if command == "M119":
            return [*self._switches(), "ok"]
        if command == "M115":
            return ["FIRMWARE_NAME:simulated PROTOCOL_VERSION:1.0", "Cap:EEPROM:1", "ok"]
        if command == "QUERY_PROBE":
            return [f"// probe: {'TRIGGERED' if self._hit('probe') else 'open'}", "ok"]
        if command.startswith("QUERY_FILAMENT_SENSOR"):
            said = "not detected" if self.pressed == "filament" else "detected"
            return [f"// Filament Sensor filament: filament {said}", "ok"]
        if command.startswith("M591"):
            said = "no" if self.pressed == "filament" else "yes"
            return [f"Extruder 0 sensor, filament present: {said}", "ok"]
        if heat := re.match(
            r"(M104|M140|M568 P0|SET_HEATER\w+ HEATER=\w+)\b.*?([SA]\d+|\d+$)", command
        ):
            bed = heat[1] == "M140" or heat[1].endswith("heater_bed")
            target = float(heat[2].lstrip("SA")) if heat[2] != "A0" else 0.0
            self.target_c["B" if bed else "T"] = target
        if fan := re.match(r"M106(?: P(\d))? S(\d+)", command):
            self.fans[fan[1] or "0"] = fan[2] != "0" and "fan" not in self.dead
        return ["ok"]

    def _hit(self, name: str) -> bool:
        return (self.pressed == name) != (name in self.inverted)

    def _switches(self) -> list[str]:
        hits = {name: self._hit(name) for name in ("x", "y", "probe", "filament")}
        if self.style == "section":
            return [" ".join(f"{n}:{'TRIGGERED' if hits[n] else 'open'}" for n in ("x", "y"))]
        if self.style == "gcode":
            words = {n: "at min stop" if hits[n] else "not stopped" for n in hits}
            said = f"X: {words['x']}, Y: {words['y']}, Z probe: {words['probe']}"
            return [f"Endstops - {said}"]
        names = {"x": "x_min", "y": "y_min", "probe": "z_probe", "filament": "filament"}
        states = (f"{names[n]}: {'TRIGGERED' if on else 'open'}" for n, on in hits.items())
        return ["Reporting endstop status", *states]


@define(eq=False)
class Wire:
    """The simulated controller as a port, without a system's line between."""

    machine: Simulated
    waiting: list[str] = field(factory=list)

    def write(self, data: bytes) -> None:
        self.waiting += self.machine.respond(data.rstrip(b"\n"))

    def read_line(self, within_s: float) -> bytes | None:
        if self.waiting:
            return self.waiting.pop(0).encode()
        self.machine.pause(within_s)
        return None

    def close(self) -> None:
        """Nothing to let go of."""


class PseudoTerminal:
    """The simulated controller behind a pseudo-terminal of the system."""

    def __init__(self, machine: Simulated, vanish_after: int = 10**9) -> None:
        self.machine, self._vanish_after = machine, vanish_after
        self._own, self._far = os.openpty()
        tty.setraw(self._far)
        self.device = os.ttyname(self._far)
        threading.Thread(target=self._serve, daemon=True).start()

    def _serve(self) -> None:
        rest = b""
        while self.machine.count < self._vanish_after:
            *lines, rest = (rest + os.read(self._own, 1024)).split(b"\n")
            for line in lines:
                for answer in self.machine.respond(line):
                    os.write(self._own, f"{answer}\r\n".encode())
        for handle in (self._own, self._far):  # as a pulled lead goes away
            os.close(handle)
