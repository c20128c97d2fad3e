"""No control sequence, direction override or invisible character of a file reaches a screen."""

import re
from collections.abc import Callable
from pathlib import Path
from shutil import copytree
from typing import Any

import pytest
from hostile_cases.handed import zipped

from pincheck import api

NASTY = "\x1b[2J\x1b]0;owned\x07\u202egpj\u2066\u200b\x9b31m\x7f\ufeff\x08"
"""Clears the screen, names the window, turns and hides text, rings and deletes."""

RAW = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\u061c\u200b-\u200f\u2028-\u202e\u2060-\u206f\ufeff]")
TEXTS = {
    "section": f"""[printer]
kinematics: none
# a remark {NASTY}
[extruder {NASTY}]
[extruder]
heater_pin: PC{NASTY}8
sensor_pin: {NASTY}
sensor_type: {NASTY}
max_temp: 3{NASTY}00
min_temp: 0
[fan_generic {NASTY}]
pin: PA{NASTY}
[heater_fan {NASTY}]
pin: PB6
heater: {NASTY}
[include {NASTY}.cfg]
[include {NASTY}*.cfg]
key{NASTY}: 1
{NASTY} line that is broken
[fan{NASTY}
[board_pins {NASTY}]
aliases: {NASTY}=PC8
[mcu {NASTY}]
serial: {NASTY}
[probe]
pin: {NASTY}:PB1
[probe]
pin: {NASTY}:PB2
""",
    "define": f"""#define MOTHERBOARD BOARD_{NASTY}
#define TEMP_SENSOR_0 {NASTY}
#define TEMP_SENSOR_BED ( {NASTY}
#define HEATER_0_MAXTEMP 3{NASTY}00
#define FAN{NASTY}_PIN 9
#define FAN_PIN {NASTY}
#define HEATER_0_PIN P{NASTY}C8
#if {NASTY}
  #define E0_AUTO_FAN_PIN {NASTY}
#elif ENABLED({NASTY})
#endif
#include "{NASTY}.h"
#error {NASTY}
#{NASTY}
#define NAME "{NASTY}"
""",
    "gcode": f"""; {NASTY}
M308 S0 P"{NASTY}" Y"{NASTY}" T100000 B4725
M950 H0 C"{NASTY}" T0
M950 F0 C"out{NASTY}" Q250
M106 P0 H{NASTY} T50
M143 H0 S{NASTY}
M106 P1 C"{NASTY}"
M98 P"{NASTY}.g"
if {NASTY}
  M950 F1 C"fan1"
M106 P{{{NASTY}}}
{NASTY} is no command
var {NASTY} = 1
M563 P0 S"{NASTY}" H0
""",
}


def raw(text: str) -> list[str]:
    """Return what a terminal would obey or hide."""
    return RAW.findall(text)


@pytest.fixture(params=TEXTS)
def machine(request: pytest.FixtureRequest, tmp_path: Path) -> Path:
    """A machine whose every name and value, and whose file names, hold what is not printable."""
    folder = tmp_path / "machine"
    folder.mkdir()
    ending = {"section": "cfg", "define": "h", "gcode": "g"}[request.param]
    name = "config.g" if request.param == "gcode" else f"m{NASTY}.{ending}"
    (folder / name).write_text(TEXTS[request.param], encoding="utf-8")
    (folder / f"a{NASTY}.{ending}").write_bytes(b"\x89PNG" + NASTY.encode())
    return folder


COMMANDS = {
    "check": ("check", "--demo"),
    "check as JSON": ("check", "--demo", "--json"),
    "claims": ("claims",),
    "claims beside wiring": ("claims", "--demo"),
    "edits": ("edits", "--demo"),
    "figures": ("figures", "--demo"),
    "why": ("why", "1", "--demo"),
}


@pytest.mark.parametrize("command", COMMANDS)
def test_no_command_prints_what_a_file_hides(
    command: str, machine: Path, run: Callable[..., Any]
) -> None:
    """Both streams hold escapes instead, and the places still tell where."""
    ran = run(*COMMANDS[command], machine)
    assert ran.out or ran.err
    assert raw(ran.out + ran.err) == []
    assert "internal error" not in ran.said


def test_comparing_drafting_and_the_desk_escape_too(
    machine: Path, tmp_path: Path, run: Callable[..., Any]
) -> None:
    """What goes through other reports is escaped as well."""
    other = copytree(machine, tmp_path / f"other {NASTY}")
    name = next(path for path in other.iterdir() if b"PNG" not in path.read_bytes()[:8])
    name.write_text(name.read_text(encoding="utf-8").replace("300", "280"), encoding="utf-8")
    board = api.demo("boards") / "heron-2.toml"
    for words in (
        ("configurations", machine, other),
        ("configurations", "--all", "--json", machine, other),
        ("draft", "--board", board, machine),
        ("desk", "--demo", "--store", tmp_path / "store", "--processes", "1", tmp_path),
    ):
        ran = run(*words)
        assert ran.out or ran.err
        assert raw(ran.out + ran.err) == []


NASTY_TOML = "".join(f"\\u{ord(c):04x}" for c in NASTY)
WIRING = {
    "part": '[assembly]\nname = "A"\n[boards]\nmain = "b.toml"\n[fit.x]\nrole = "hotend.heater"\n'
    'at = "main.h"\npart = "@"\n',
    "board": '[assembly]\nname = "@"\n[boards]\n"@" = "@.toml"\n',
    "role": '[assembly]\nname = "A"\n[boards]\nmain = "b.toml"\n[fit."@"]\nrole = "@"\nat = "@.h"\n'
    'part = "heater-24v-40w"\n',
    "key": '[assembly]\n"@" = 1\n["@"]\n',
    "broken": "[assembly\n^\n",
    "comment": "# ^\nname = ^\n",
}


@pytest.mark.parametrize("kind", WIRING)
@pytest.mark.parametrize("command", ["trace", "check"])
def test_no_name_of_a_wiring_reaches_the_screen_raw(
    kind: str, command: str, tmp_path: Path, run: Callable[..., Any]
) -> None:
    """Names of boards, parts and roles, keys and broken lines are escaped where they are told."""
    text = WIRING[kind].replace("@", NASTY_TOML).replace("^", NASTY)
    file = tmp_path / f"w{NASTY}.toml"
    file.write_text(text, encoding="utf-8")
    ran = run(
        command, "--wiring", file, *([api.demo("clean/section")] if command == "check" else [])
    )
    assert ran.code == 2
    assert ran.err
    assert raw(ran.out + ran.err) == []


@pytest.mark.parametrize(
    "words",
    [
        ("check", "--demo", NASTY),
        ("check", "--demo", f"--{NASTY}"),
        ("check", "--style", NASTY),
        (NASTY,),
        ("trace", "--demo", NASTY),
        ("why", NASTY),
        ("edits", "--demo", "--take", NASTY),
        ("check", "--demo", "--wiring", NASTY),
        ("words", "section", "--words", NASTY),
    ],
    ids=str,
)
def test_no_argument_is_repeated_raw(words: tuple[str, ...], run: Callable[..., Any]) -> None:
    """What was typed or pasted on the command line is shown escaped."""
    ran = run(*words)
    assert ran.code == 2
    assert raw(ran.out + ran.err) == []


def test_names_in_archives_and_vocabularies(tmp_path: Path, run: Callable[..., Any]) -> None:
    """Members' names may hold line ends, and a fork's own words anything."""
    name = f"m{NASTY}\n\rfake: all agrees.cfg"
    data = zipped(
        [(name, b"[printer]\n[extruder]\nbroken\n"), (f"../{name}", b"x"), ("b.cfg", b"")]
    )
    (tmp_path / "m.zip").write_bytes(data)
    words = tmp_path / "w.toml"
    words.write_text(
        f'style = "section"\n[[entries]]\nsection = "x {NASTY_TOML}"\nkey = "{NASTY_TOML}"\n'
        'role = "part.fan"\nattribute = "pin"\nas = "pin"\n'
    )
    for command in (
        ("check", "--demo", tmp_path / "m.zip"),
        ("claims", tmp_path / "m.zip"),
        ("words", "section", "--words", words),
    ):
        ran = run(*command)
        assert raw(ran.out + ran.err) == []
        assert not any(line.startswith("fake") for line in (ran.out + ran.err).splitlines())
