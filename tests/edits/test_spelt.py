"""What suggested edits write into the user's own lines, to the letter."""

import shutil
from pathlib import Path

import pytest

from pincheck import api
from pincheck.edits.patch import diff
from pincheck.model.setting import StyleName

FAN = 'M106 P1 S1 H1 T50 C"Hot-end fan"'
BOUND = 'M950 F1 C"fan0" Q250\n'
SECTION = "[heater_fan hotend_fan]\npin: PB6\nheater: extruder\nheater_temp: 50.0\nfan_speed: 1.0\n"
NOT_THERMOSTATIC = "hotend-fan-not-thermostatic"
MISSING = "hotend-fan-missing"


def after(style: StyleName, swaps: tuple[tuple[str, str], ...], rule: str, root: Path) -> list[str]:
    """Return the lines that the edit for a rule writes into the clean demo with texts replaced."""
    shutil.copytree(api.demo("."), root, dirs_exist_ok=True)
    for old, new in swaps:
        path = next(p for p in (root / "clean" / style).iterdir() if old in p.read_text())
        path.write_text(path.read_text().replace(old, new))
    machine = api.load_configuration(root / "clean" / style)
    assembly = api.load_wiring(root / "marsh-230-c.toml")
    (wanted,) = (p for p in api.propose(api.check(machine, assembly)) if p.finding.rule == rule)
    trial = api.try_edits(machine, assembly, [wanted])
    assert trial.applied, wanted.blocked
    lines = diff(machine.sources, trial.machine.sources, context=0)
    return [line for line in lines if line[:1] in "+-" and line[:4] not in ("+++ ", "--- ")]


@pytest.mark.parametrize(
    ("style", "swaps", "rule", "expected"),
    [
        ("gcode", ((FAN, "M106 P1 S0"),), NOT_THERMOSTATIC, ["-M106 P1 S0", "+M106 P1 S1 H1 T50"]),
        (
            "gcode",
            ((FAN, "M106 P1 H-1 T55 ; mine"),),
            NOT_THERMOSTATIC,
            ["-M106 P1 H-1 T55 ; mine", "+M106 P1 H1 T55 ; mine"],
        ),
        ("gcode", ((FAN, ""),), NOT_THERMOSTATIC, ["+M106 P1 H1 T50"]),
        ("gcode", ((FAN, ""), (BOUND, "")), MISSING, ['+M950 F1 C"fan0"', "+M106 P1 H1"]),
        (
            "section",
            ((SECTION, ""),),
            MISSING,
            ["+[heater_fan hotend_fan]", "+pin: PB6", "+heater: extruder", "+"],
        ),
        (
            "define",
            (("E0_AUTO_FAN_PIN PB6", "E0_AUTO_FAN_PIN -1"),),
            MISSING,
            ["-#define E0_AUTO_FAN_PIN -1", "+#define E0_AUTO_FAN_PIN PB6"],
        ),
    ],
)
def test_a_hot_end_fan_gets_what_it_lacks(
    style: StyleName,
    swaps: tuple[tuple[str, str], ...],
    rule: str,
    expected: list[str],
    tmp_path: Path,
) -> None:
    assert after(style, swaps, rule, tmp_path) == expected


def test_a_fan_of_another_kind_gets_no_second_section(tmp_path: Path) -> None:
    """A section that obeys commands cannot be told to follow a heater, nor can a copy of it."""
    shutil.copytree(api.demo("."), tmp_path, dirs_exist_ok=True)
    path = tmp_path / "clean" / "section" / "toolhead.cfg"
    path.write_text(path.read_text().replace(SECTION, "[fan_generic hotend_fan]\npin: PB6\n"))
    machine = api.load_configuration(tmp_path / "clean" / "section")
    result = api.check(machine, api.load_wiring(tmp_path / "marsh-230-c.toml"))
    (proposal,) = api.propose(result)
    assert proposal.finding.rule == NOT_THERMOSTATIC
    assert not proposal.edits


@pytest.mark.parametrize(
    ("style", "swap", "expected"),
    [
        (
            "define",
            ("#define BED_MAXTEMP      125", "#define BED_MAXTEMP 1\n # define BED_MAXTEMP 125"),
            ["-#define BED_MAXTEMP 1", "+//#define BED_MAXTEMP 1"],
        ),
        ("section", ("min_temp: 0", "min_temp: 5\nmin_temp: 0"), ["-min_temp: 5", "+#min_temp: 5"]),
        (
            "gcode",
            ("M143 H1 S255", "  M143 H1 S240 ; old\nM143 H1 S255"),
            ["-  M143 H1 S240 ; old", "+  ; M143 H1 S240 ; old"],
        ),
        (
            "gcode",
            (BOUND, 'M950 F1 C"fan1" Q500\nM950 F1 C"fan0" Q250\n'),
            ['-M950 F1 C"fan1" Q500', '+; M950 F1 C"fan1" Q500'],
        ),
    ],
)
def test_a_line_without_effect_is_commented_out(
    style: StyleName, swap: tuple[str, str], expected: list[str], tmp_path: Path
) -> None:
    assert after(style, (swap,), "duplicate-setting", tmp_path) == expected


def test_a_command_of_which_a_letter_counts_stays(tmp_path: Path) -> None:
    swap = (FAN, f"M106 P1 T45 L0.3\n{FAN}")
    with pytest.raises(AssertionError, match="stands in the same line and counts"):
        after("gcode", (swap,), "duplicate-setting", tmp_path)


@pytest.mark.parametrize(
    "line",
    [
        'M308 S1 P"temp0" Y"thermistor" T100000 B4725 C7.06e-8 A"Hot end"',
        'M950 H1 C"e0heat" T1',
        'M950 F0 C"fan2" Q250',
        'M950 S0 C"servo0"',
        # a further one of another kind is commented out below it
        'M558 P9 C"^probe" H5 F300 T7200 A2',
        'M574 X1 S1 P"^xstop"',
        'M591 D0 P1 C"^!fil0" S1',
    ],
)
def test_a_command_that_is_commented_out_comes_back_whole(line: str, tmp_path: Path) -> None:
    expected = [f"-;{line}", f"+{line}"]
    swap = ((line, f";{line}"),)
    assert after("gcode", swap, "role-not-configured", tmp_path) == expected


@pytest.mark.parametrize(
    ("line", "expected"),
    [
        # what is created afresh has all that it needs: its sensor, the kind of probe, the pull
        ('M950 H1 C"e0heat" T1\n', ['+M950 H1 C"e0heat" T1']),
        ('M574 X1 S1 P"^xstop"\n', ['+M574 X1 P"^xstop"']),
        (
            'M558 P9 C"^probe" H5 F300 T7200 A2\n',
            ['-;M558 P5 C"^zstop" H5 F300 T7200', '+M558 P9 C"^probe" H5 F300 T7200'],
        ),
    ],
)
def test_a_command_that_is_gone_comes_back(line: str, expected: list[str], tmp_path: Path) -> None:
    assert after("gcode", ((line, ""),), "role-not-configured", tmp_path) == expected
