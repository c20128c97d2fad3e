"""Small machines of two boards and a cable, written into a folder for one test."""

from pathlib import Path

from pincheck.model.wiring import Assembly
from pincheck.wiring import load

MAIN = """
[board]
name = "Bittern"
chip = "stm32f401rct6"
supply_v = 24
supply_max_a = 10

[nets.HEAT]
chip_pin = "PC8"
switch = { side = "low", max_a = 8 }

[nets.FAN]
chip_pin = "PB6"
switch = { side = "low", max_a = 1 }

[nets.TH]
chip_pin = "PC5"
pullup = { ohm = 4700, to_v = 3.3 }

[nets.SIG]
chip_pin = "PB1"
series_ohm = 100

[connectors.unused]
pins = ["HEAT", "FAN", "TH", "SIG"]

[nets]
"""

MACHINE = """
[assembly]
name = "Snipe"
parts = ["parts.toml"]

[boards]
main = "main.toml"
tool = "tool.toml"
"""


PARTS = """
[fan-any]
kind = "fan"
title = "fan that runs either way round"
terminals = ["any", "any"]
"""


def write(folder: Path, **files: str) -> Path:
    """Write `<name>.toml` for every keyword and return the path of `machine.toml`."""
    for name, text in files.items():
        (folder / f"{name}.toml").write_text(text, encoding="utf-8")
    return folder / "machine.toml"


def connector(name: str, *pins: str, more: str = "") -> str:
    """Return the table of one connector."""
    listed = ", ".join(f'"{pin}"' for pin in pins)
    return f"\n[connectors.{name}]\npins = [{listed}]\n{more}\n"


def fit(role: str, at: str, part: str, more: str = "") -> str:
    """Return the table of one fitted part, named like its role."""
    where = f'at = "{at}"' if at else ""
    return f'\n[fit.{role.replace(".", "_")}]\nrole = "{role}"\npart = "{part}"\n{where}\n{more}\n'


def cable(wiring: str = '"straight"', from_: str = "main.out", to: str = "tool.in") -> str:
    """Return the table of one cable."""
    return f'\n[[cables]]\nfrom = "{from_}"\nto = "{to}"\nwiring = {wiring}\n'


def machine(folder: Path, main: str, tool: str, assembly: str) -> Assembly:
    """Load a machine: connectors for the main board, a tool board's file body, cables and fits."""
    (folder / "parts.toml").write_text(PARTS, encoding="utf-8")
    tool = tool if "[board]" in tool else f'[board]\nname = "Avocet"\n{tool}'
    return load(write(folder, main=MAIN + main, tool=tool, machine=MACHINE + assembly))
