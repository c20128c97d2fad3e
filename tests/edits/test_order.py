"""Edits of scripts go where they take effect, as a scan of the lines in their order shows."""

import re
import shutil
from collections.abc import Mapping
from pathlib import Path

import pytest

from pincheck import api
from pincheck.model.source import Source

FAN = 'M950 F1 C"fan0" Q250\n'
DRIVEN = 'M106 P1 S1 H1 T50 C"Hot-end fan"\n'
SENSOR = 'M308 S1 P"temp0" Y"thermistor" T100000 B4725 C7.06e-8 A"Hot end"\n'
HEATER = 'M950 H1 C"e0heat" T1\n'
LIMIT = "M143 H1 S255                           ; the liner is good for 260\n"
_LETTER = re.compile(r'([A-Z])("[^"]*"|[^\s;"]*)')


def scan(sources: Mapping[str, Source], name: str = "config.g") -> dict[str, dict[str, str]]:
    """Carry the lines out one by one: what is created starts empty, what is not there is lost."""
    there: dict[str, dict[str, str]] = {}

    def lines(file: str) -> list[str]:
        found = []
        for line in sources[file].text.splitlines():
            call = re.match(r'M98 P"(.+)"', line)
            found += lines(call[1]) if call else [line]
        return found

    for line in lines(name):
        command, _, rest = line.partition(";")[0].strip().partition(" ")
        letters = {key: text.strip('"') for key, text in _LETTER.findall(rest)}
        if command == "M950" and "C" in letters:
            key = next(k for k in letters if k in "HF") if set("HF") & set(letters) else "S"
            there[key + letters[key]] = letters
        elif command == "M308":
            there["S" + letters["S"] + " sensor"] = letters
        elif command == "M106" and f"F{letters['P']}" in there:
            there[f"F{letters['P']}"] |= {f"M106 {key}": text for key, text in letters.items()}
        elif command == "M143" and f"H{letters['H']}" in there:
            there[f"H{letters['H']}"] |= {"limit": letters["S"]}
    return there


def mended(swaps: tuple[tuple[str, str], ...], rule: str, root: Path) -> dict[str, dict[str, str]]:
    """Return what a scan finds after the edit for a rule in the clean demo with texts replaced."""
    shutil.copytree(api.demo("."), root, dirs_exist_ok=True)
    path = root / "clean/gcode/toolhead.g"
    for old, new in swaps:
        assert path.read_text().count(old) == 1
        path.write_text(path.read_text().replace(old, new))
    machine = api.load_configuration(root / "clean/gcode")
    assembly = api.load_wiring(root / "marsh-230-c.toml")
    wanted = [p for p in api.propose(api.check(machine, assembly)) if p.finding.rule == rule]
    trial = api.try_edits(machine, assembly, wanted)
    assert trial.applied, (wanted, trial.refused)
    return scan({source.name.rpartition("/")[2]: source for source in trial.machine.sources})


@pytest.mark.parametrize(
    ("swaps", "rule", "thing", "expected"),
    [
        # created before what drives it, never behind
        (((FAN, ""),), "hotend-fan-missing", "F1", {"C": "fan0", "M106 H": "1", "M106 T": "50"}),
        # a comment behind the command that needs it is no place
        (((FAN + DRIVEN, f"{DRIVEN};{FAN}"),), "hotend-fan-missing", "F1",
         {"C": "fan0", "M106 H": "1"}),
        # what was said too early is said again
        (((FAN + DRIVEN, DRIVEN + FAN),), "command-lost", "F1",
         {"C": "fan0", "M106 H": "1", "M106 T": "50", "M106 S": "1"}),
        (((HEATER, ""), (LIMIT, LIMIT + HEATER)), "command-lost", "H1", {"limit": "255"}),
        (((HEATER, ""), (LIMIT, LIMIT + HEATER)), "heater-limit-too-high", "H1", {"limit": "255"}),
        # a thing set up again: the last time decides
        (((SENSOR, SENSOR + 'M308 S1 P"temp0" Y"thermistor" T100000 B3950\n'),),
         "sensor-table-differs", "S1 sensor", {"T": "100000", "B": "4725", "C": "7.06e-8"}),
        (((FAN, f"{FAN}M106 P1 H1\n" + FAN.replace("fan0", "fan1")),), "pin-differs", "F1",
         {"C": "fan0", "M106 H": "1"}),
    ],
)  # fmt: skip
def test_an_edit_takes_effect_where_it_stands(
    swaps: tuple[tuple[str, str], ...],
    rule: str,
    thing: str,
    expected: dict[str, str],
    tmp_path: Path,
) -> None:
    assert mended(swaps, rule, tmp_path)[thing].items() >= expected.items()
