"""Edits that a check would pass and the firmware would not obey are not offered."""

import shutil
from pathlib import Path

import pytest

from pincheck import api
from pincheck.model.finding import Result

MACHINES = Path(__file__).parents[1] / "field/machines"
Swap = tuple[str, str, str]


@pytest.mark.parametrize(
    ("style", "swaps", "role", "reason"),
    [
        (
            "section",
            [
                ("clean/section", "sensor_pin: PC5", "sensor_pin: PB7"),
                ("clean/section", "sensor_type: ATC Semitec 104GT-2", "sensor_type: MAX31855"),
            ],
            "hotend.sensor",
            "the chip select of a converter",
        ),
        (
            "define",
            [("boards/heron-2.toml", 'X_MIN_PIN = "PC0"', 'X_MAX_PIN = "PC0"\nX_MIN_PIN = "PC6"')],
            "x.endstop",
            "home to that end instead",
        ),
    ],
)
def test_it_is_left_to_a_person_and_says_why(
    style: str, swaps: list[Swap], role: str, reason: str, tmp_path: Path
) -> None:
    root = tmp_path / "configs"
    shutil.copytree(api.demo("."), root)
    for place, old, new in swaps:
        path = root / place
        file = next(p for p in path.iterdir() if old in p.read_text()) if path.is_dir() else path
        assert old in file.read_text()
        file.write_text(file.read_text().replace(old, new))
    result = api.check(
        api.load_configuration(root / "clean" / style), api.load_wiring(root / "marsh-230-c.toml")
    )
    _is_withheld(result, role, reason)


def test_a_sensor_of_an_8_bit_board_is_written_by_its_channel(tmp_path: Path) -> None:
    """On boards of eight bits it is a channel of the converter, not a digital pin."""
    root = tmp_path / "plover"
    shutil.copytree(MACHINES / "plover", root)
    header = root / "config/Main.h"
    header.write_text(f"{header.read_text()}\n#define TEMP_0_PIN 57\n")
    result = api.check(
        api.load_configuration(root / "config"), api.load_wiring(root / "assembly.toml")
    )
    notes = [p.note for p in api.propose(result) if p.finding.role == "hotend.sensor" and p.edits]
    assert notes == ["Main.h:97 TEMP_0_PIN: 57 becomes 13"]


def test_no_edit_moves_an_end_stop_that_a_header_numbers(tmp_path: Path) -> None:
    """Nobody says at which end the switch stands, so the homing end may be what is wrong."""
    root = tmp_path / "plover"
    shutil.copytree(MACHINES / "plover", root)
    header = root / "config/Main.h"
    text = header.read_text().replace("X_HOME_DIR -1", "X_HOME_DIR 1")
    header.write_text(f"{text}\n#define X_MIN_PIN 3\n#define X_MAX_PIN 2\n")
    result = api.check(
        api.load_configuration(root / "config"), api.load_wiring(root / "assembly.toml")
    )
    _is_withheld(result, "x.endstop", "home to that end instead")


def _is_withheld(result: Result, role: str, reason: str) -> None:
    found = [p for p in api.propose(result) if p.finding.role == role]
    held = [p for p in found if reason in p.blocked]
    assert held, [(p.note, p.blocked) for p in found]
    assert not any(p.edits for p in held)
