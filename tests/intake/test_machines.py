"""The machines among what was handed over: their style, their main file, their order."""

from pathlib import Path

import pytest

from pincheck.intake import gather, machines
from pincheck.intake.machines import Machine
from pincheck.model.problem import Problem
from pincheck.model.setting import Style

MAIN_H = "#define MOTHERBOARD BOARD_HERON_2\n#define TEMP_SENSOR_0 5\n"
ADVANCED_H = "#define EXTRUDER_AUTO_FAN_TEMPERATURE 50\n#define E0_AUTO_FAN_PIN PB6\n"
PRINTER = "[include toolhead.cfg]\n[mcu]\nserial: /dev/x\n[printer]\nkinematics: cartesian\n"
EXTRUDER = "[extruder]\nheater_pin: PC8\n[fan]\npin: PB8\n"
START = 'M950 H1 C"e0heat" T1\nM308 S1 P"temp0" Y"thermistor"\nM98 P"toolhead.g"\n'


def found(tmp_path: Path, **files: str) -> tuple[tuple[Machine, ...], tuple[Problem, ...]]:
    for name, text in files.items():
        path = tmp_path / name.replace("__", "/").replace("_DOT_", ".")
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text)
    return machines(gather([tmp_path]))


def test_headers_come_main_first_whatever_their_names(tmp_path: Path) -> None:
    files = {"a_adv_DOT_h": ADVANCED_H, "b_main_DOT_h": MAIN_H, "pins_DOT_h": "#define FAN_PIN 4\n"}
    (machine,), problems = found(tmp_path, **files)
    assert machine.style == "define"
    assert [s.name for s in machine.sources] == ["b_main.h", "a_adv.h", "pins.h"]
    assert "reading starts at b_main.h" in machine.reason
    assert problems == ()


def test_the_header_that_names_the_board_comes_first_however_often_others_repeat_its_keys(
    tmp_path: Path,
) -> None:
    advanced = (
        ADVANCED_H + "#if PROFILE\n#define TEMP_SENSOR_0 1\n#define TEMP_SENSOR_0 5\n#endif\n"
    )
    files = {"a_adv_DOT_h": advanced * 2, "b_main_DOT_h": "#define MOTHERBOARD BOARD_HERON_2\n"}
    (machine,), _ = found(tmp_path, **files)
    assert machine.main.name == "b_main.h"


def test_what_is_left_out_is_named(tmp_path: Path) -> None:
    """Logs and prose beside a machine are no mistake, but nobody is to think they were read."""
    prose = "Hello, my printer does not heat, could you help me please?\n"
    files = {f"{n}_DOT_log": "x" for n in range(5)}
    (machine,), problems = found(tmp_path, z_DOT_cfg=PRINTER, note_DOT_txt=prose, **files)
    told = "; left out, being no configuration: 0.log, 1.log, 2.log, 3.log, 4.log and 1 more"
    assert machine.reason.endswith(told)
    assert problems == ()


def test_a_few_headers_in_deeper_folders_are_the_users_own(tmp_path: Path) -> None:
    """Somebody's own pins header may lie wherever the firmware keeps those."""
    (machine,), _ = found(tmp_path, m_DOT_h=MAIN_H, src__pins__own_DOT_h="#define FAN_PIN 4\n")
    assert [s.name for s in machine.sources] == ["m.h", "src/pins/own.h"]


def test_the_source_of_a_firmware_around_its_main_header_is_left_out(tmp_path: Path) -> None:
    """Whose whole source was handed over, for example: each board's pins header contradicts."""
    boards = {f"src__pins__b{n}_DOT_h": f"#define HEATER_0_PIN {n}\n" for n in range(30)}
    programs = {f"src__p{n}_DOT_cpp": "#define FAN_PIN 3\nint a;\n" for n in range(3)}
    files = {"m_DOT_h": MAIN_H, "m_adv_DOT_h": ADVANCED_H, **boards, **programs}
    (machine,), problems = found(tmp_path, **files)
    assert [s.name for s in machine.sources] == ["m.h", "m_adv.h"]
    assert "being the firmware's own source: 30 headers" in machine.reason
    assert "src/p0.cpp" in machine.reason
    assert problems == ()


def test_the_file_that_nobody_includes_is_the_main_one(tmp_path: Path) -> None:
    (machine,), _ = found(tmp_path, toolhead_DOT_cfg=EXTRUDER, z_DOT_cfg=PRINTER)
    assert (machine.style, machine.main.name) == ("section", "z.cfg")


def test_dated_backups_beside_the_main_file_are_not_taken_for_it(tmp_path: Path) -> None:
    files = {"printer-20250102_101112_DOT_cfg": PRINTER, "printer_DOT_cfg": PRINTER}
    (machine,), _ = found(tmp_path, toolhead_DOT_cfg=EXTRUDER, **files)
    assert machine.main.name == "printer.cfg"


def test_the_start_up_script_is_the_one_that_configures_and_nobody_calls(tmp_path: Path) -> None:
    files = {
        "sys__config_DOT_g": START,
        "sys__toolhead_DOT_g": "M106 P0 H1 T45\nM563 P0 D0 H1 F1\n",
        "sys__homex_DOT_g": "G1 H1 X-200 F3000\n",
        "macros__load_DOT_g": 'M291 P"load"\nG1 E50\n',
    }
    (machine,), _ = found(tmp_path, **files)
    assert (machine.style, machine.main.name) == ("gcode", "sys/config.g")


def test_two_machines_in_one_folder_are_both_named(tmp_path: Path) -> None:
    both, _ = found(tmp_path, avocet__machine_DOT_cfg=PRINTER, snipe__machine_DOT_cfg=PRINTER)
    assert [machine.name for machine in both] == ["avocet", "snipe"]


def test_styles_side_by_side_are_two_machines(tmp_path: Path) -> None:
    both, _ = found(tmp_path, old__main_DOT_h=MAIN_H, new__machine_DOT_cfg=PRINTER + EXTRUDER)
    assert {machine.style for machine in both} == {"define", "section"}


def test_a_note_beside_the_configuration_is_no_mistake_but_alone_it_is(tmp_path: Path) -> None:
    note = "Dear support, my fan does not turn at all since the swap. What can I do now?\n"
    (machine,), problems = found(tmp_path, readme_DOT_txt=note, m_DOT_cfg=PRINTER + EXTRUDER)
    assert machine.main.name == "m.cfg"
    assert problems == ()
    (tmp_path / "alone").mkdir()
    none, problems = found(tmp_path / "alone", readme_DOT_txt=note)
    assert none == ()
    assert "prose" in problems[0].message


def test_the_style_can_be_overridden(tmp_path: Path) -> None:
    path = tmp_path / "odd.txt"
    path.write_text("heater_pin: PC8\n")
    (machine,), _ = machines(gather([path]), "section")
    assert machine.style == "section"
    assert "you said so" in machine.reason


@pytest.mark.parametrize(
    ("file", "text", "style"),
    [
        ("m.cfg", PRINTER + EXTRUDER, "define"),
        ("m.cfg", "# set up\n[gcode_macro A]\ngcode:\n  G28\n" + PRINTER, "gcode"),
        ("m.h", MAIN_H, "section"),
        ("m.h", MAIN_H, "gcode"),
        ("config.g", 'M950 F0 C"out1"\n', "section"),
    ],
)
def test_a_style_that_nothing_in_the_files_is_of_is_refused(
    tmp_path: Path, file: str, text: str, style: Style
) -> None:
    (tmp_path / file).write_text(text)
    none, (problem,) = machines(gather([tmp_path]), style)
    assert none == ()
    assert problem.fatal
    assert f"to be read as {style} style, and nothing of that style is in it" in problem.message


def test_a_file_of_long_macros_or_of_comments_stays_with_its_machine(tmp_path: Path) -> None:
    macro = "[gcode_macro LOAD]\ngcode:\n" + "".join(f"    G1 E{n} F300\n" for n in range(60))
    files = {
        "printer_DOT_cfg": PRINTER + "[include macros.cfg]\n[include notes.cfg]\n",
        "toolhead_DOT_cfg": EXTRUDER,
        "macros_DOT_cfg": macro,
        "notes_DOT_cfg": "# if the probe is fitted\n# define its offset\n# else leave it out\n",
    }
    (machine,), problems = found(tmp_path, **files)
    assert {s.name for s in machine.sources} == {
        "printer.cfg",
        "toolhead.cfg",
        "macros.cfg",
        "notes.cfg",
    }
    assert machine.main.name == "printer.cfg"
    assert problems == ()
