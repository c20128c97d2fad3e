"""References where their users put them: in a build, and in a machine's own files."""

import configparser
import shutil
import subprocess
from collections.abc import Iterator
from pathlib import Path

import pytest

from pincheck import api
from pincheck.maker.reference import Reference, reference
from pincheck.model.finding import Result
from pincheck.model.setting import StyleName

C = api.demo("marsh-230-c.toml")
MACHINES = Path(__file__).parents[1] / "field" / "machines"
CLEAN = api.demo("clean")

STUB = """
#define HIGH 1
#define LOW 0
#include "machine.h"
#include "machine_adv.h"
#include "pins.h"
#if __has_include("current")
  #if defined(FAN_PIN) || defined(X_MIN_ENDSTOP_INVERTING)
    #error "renamed: FAN0_PIN, X_MIN_ENDSTOP_HIT_STATE"
  #endif
  #if defined(Z_MIN_PROBE_PIN) && !defined(Z_MIN_PROBE_ENDSTOP_HIT_STATE)
    #error "renamed: Z_MIN_PROBE_ENDSTOP_HIT_STATE"
  #endif
#endif
#if defined(FILAMENT_RUNOUT_SENSOR) && !(NUM_RUNOUT_SENSORS >= 1 && defined(FIL_RUNOUT_STATE))
  #error "a monitor without a count"
#endif
#if defined(BLTOUCH) && NUM_SERVOS < 1
  #error "a probe with a servo and no servo"
#endif
#if HEATER_0_MAXTEMP - HOTEND_OVERSHOOT >= 260 || HEATER_0_MINTEMP < 1 || !TEMP_SENSOR_0
  #error "limits"
#endif
#if WATCH_TEMP_INCREASE < 1 || THERMAL_PROTECTION_PERIOD < 1 || PID_MAX > 255
  #error "protection"
#endif
static const int pins[] = { HEATER_0_PIN, HEATER_BED_PIN, TEMP_0_PIN, TEMP_BED_PIN, X_STEP_PIN,
                            E0_AUTO_FAN_PIN, Z_MIN_PROBE_PIN, X_MIN_PIN };
static const int stop = X_MIN_STATE;
int main(void) { return pins[0] == stop; }
"""
"""What a release asks of the two headers, in the words of this test (public sources of the style):
renamed keys are errors, pins are numbers, counts and limits are compared by the preprocessor."""


def _pins() -> Iterator[str]:
    names = (f"P{port}{at}" for port in "ABCDEFGHJKL" for at in range(16))
    yield from (f"#define {name} {number}" for number, name in enumerate(names))


@pytest.mark.skipif(not shutil.which("gcc"), reason="no C compiler on this machine")
@pytest.mark.parametrize("older", [False, True])
@pytest.mark.parametrize("wiring", [C, MACHINES / "plover" / "assembly.toml"])
def test_the_headers_build(tmp_path: Path, wiring: Path, older: bool) -> None:
    """gcc with every warning an error; a key of the other generation stops it."""
    made = reference(api.load_wiring(wiring), "define", older=older)
    for source in made.machine.sources:
        (tmp_path / source.name).write_bytes(source.data)
    state = "X_MIN_ENDSTOP_INVERTING" if older else "X_MIN_ENDSTOP_HIT_STATE"
    board = next(it.value for it in made.result.reading.settings if it.key == "MOTHERBOARD")
    extra = [
        f"#define {board} 1",
        "#define true 1",
        "#define false 0",
        f"#define X_MIN_STATE {state}",
    ]
    (tmp_path / "pins.h").write_text("\n".join([*_pins(), *extra]) + "\n")
    (tmp_path / "main.c").write_text(STUB)
    if not older:
        (tmp_path / "current").touch()
    call = ["gcc", "-std=c11", "-Wall", "-Wextra", "-Werror", "-I.", "-c", "main.c", "-o", "out.o"]
    run = subprocess.run(call, cwd=tmp_path, capture_output=True, text=True, check=False)
    assert run.returncode == 0, run.stderr


@pytest.mark.parametrize("wiring", [C, MACHINES / "godwit" / "assembly.toml"])
def test_the_sections_are_read_by_the_standard_library(wiring: Path) -> None:
    """Strict: no section and no key stands twice, and what pincheck claims is what is there."""
    made = reference(api.load_wiring(wiring), "section")
    parser = configparser.ConfigParser(
        strict=True, interpolation=None, inline_comment_prefixes=("#",), delimiters=(":",)
    )
    parser.read_string(made.machine.sources[0].text)
    read = {
        (section, key): value
        for section in parser.sections()
        for key, value in parser[section].items()
    }
    said = (it for it in made.result.reading.settings if it.key and it.activity.name == "ACTIVE")
    assert read == {(it.section, it.key): it.value for it in said}


def test_a_script_creates_before_it_uses() -> None:
    """Each sensor, heater and fan is created once, and above each line that speaks of it."""
    text = reference(api.load_wiring(MACHINES / "pintail" / "assembly.toml"), "gcode")
    made: set[str] = set()
    for line in text.machine.sources[0].text.splitlines():
        words = line.partition(";")[0].split()
        if not words:
            continue
        command, first = words[0], words[1]
        if command in ("M308", "M950"):
            kind = "S" if command == "M308" else first[0]
            name = f"{'sensor' if command == 'M308' else kind}{first[1:]}"
            assert name not in made, line
            made.add(name)
            used = [f"sensor{word[1:]}" for word in words[2:] if word[0] == "T" and kind == "H"]
        else:
            mark = "F" if command == "M106" else "H"
            used = [f"{mark}{first[1:]}"] if command in ("M106", "M143", "M570", "M140") else []
            used += [f"{it[0]}{n}" for it in words[2:] if command == "M563" and it[0] in "HF"
                     for n in it[1:].split(":")]  # fmt: skip
        assert made.issuperset(used), line


def _pasted(tmp_path: Path, style: StyleName, made: Reference, *, at_the_end: bool) -> Result:
    """Return the check of a clean machine of revision C with the reference of B put into it."""
    mine = shutil.copytree(CLEAN / style, tmp_path / style)
    name, call = {
        "section": ("machine.cfg", "[include reference.cfg]"),
        "gcode": ("config.g", 'M98 P"reference.g"'),
    }[style]
    for source in made.machine.sources:
        (mine / source.name).write_bytes(source.data)
    text = (mine / name).read_text()
    (mine / name).write_text(f"{text}\n{call}\n" if at_the_end else f"{call}\n{text}")
    return api.check(api.load_configuration(mine), made.assembly)


@pytest.mark.parametrize("style", ["section", "gcode"])
def test_where_a_reference_is_put_decides(tmp_path: Path, style: StyleName) -> None:
    """Below the user's own lines it wins; above them the old revision's part fan stays dead.

    A script says of the lines above that they are lost, as the head of the reference does.
    """
    made = reference(api.load_wiring(api.demo("marsh-230-b.toml")), style)
    result = _pasted(tmp_path / "end", style, made, at_the_end=True)
    assert {it.rule for it in result.findings} <= {"command-lost"}
    result = _pasted(tmp_path / "top", style, made, at_the_end=False)
    assert ("pin-differs", "part.fan") in [(it.rule, it.role) for it in result.findings]


def test_the_head_names_what_a_boards_header_sets_again() -> None:
    """Only the part fan moved: of the stock pins of the mainboard no other one differs."""
    text = reference(api.load_wiring(C), "define").machine.sources[0].text
    head = " ".join(
        line.removeprefix("//").strip() for line in text.splitlines() if line.startswith("//")
    )
    assert "says something else: take out there FAN_PIN PB7, FAN0_PIN PB7." in head
    assert "Lines of yours that must go: FIX_MOUNTED_PROBE," in head


def test_a_monitor_of_filament_says_when_filament_is_there() -> None:
    """The wired switch pulls low with filament in it: HIGH is what the define style calls out."""
    text = reference(api.load_wiring(C), "define").machine.sources[0].text
    line = next(it for it in text.splitlines() if it.startswith("#define FIL_RUNOUT_STATE"))
    assert line.split()[2] == "HIGH"
    assert line.endswith("filament is there while the pin is low")
