"""The machines among what was handed over: their style, their main file, their order."""

from pathlib import Path

import pytest

from pincheck.intake import gather, machines, read
from pincheck.intake.machines import Machine
from pincheck.model.problem import Problem, UnreadableError
from pincheck.model.setting import StyleName

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


@pytest.mark.parametrize(
    ("name", "used"),
    [
        ("src__pins__pins_OWN_DOT_h", True),
        ("pins_DOT_h", True),
        ("src__own_DOT_h", False),
        ("Configuration_stock_DOT_h", False),
    ],
)
def test_of_headers_that_nothing_includes_the_boards_pins_alone_are_read(
    name: str, used: bool, tmp_path: Path
) -> None:
    """They are reached by the board's number, wherever the firmware keeps them."""
    (machine,), _ = found(tmp_path, m_DOT_h=MAIN_H, **{name: "#define FAN_PIN 4\n"})
    path = name.replace("__", "/").replace("_DOT_", ".")
    assert [s.name for s in machine.sources] == ["m.h", path] if used else ["m.h"]
    assert (f"; not used: {path}" in machine.reason) is not used


def test_of_several_pins_headers_that_of_the_board_is_read(tmp_path: Path) -> None:
    """Without one that leads to it, its name tells; where none is called so, none is read."""
    pins = {f"src__pins_{n}_DOT_h": "#define FAN_PIN 4\n" for n in ("CRAKE", "HERON_2")}
    (machine,), _ = found(tmp_path, m_DOT_h=MAIN_H, **pins)
    assert [s.name for s in machine.sources] == ["m.h", "src/pins_HERON_2.h"]
    (machine,), _ = found(tmp_path, m_DOT_h="#define MOTHERBOARD 33\n")
    assert [s.name for s in machine.sources] == ["m.h"]


def test_the_conventional_main_header_beside_its_copies_and_examples(tmp_path: Path) -> None:
    """Neither a fuller copy nor an example below it is taken for it, nor a header of pins."""
    fuller = MAIN_H + "#define TEMP_SENSOR_0 1\n" * 5
    files = {
        "Configuration_DOT_h": MAIN_H + '#include "limits.h"\n',
        "Configuration_adv_DOT_h": ADVANCED_H,
        "limits_DOT_h": "#define HEATER_0_MAXTEMP 260\n",
        "Configuration_original_DOT_h": fuller,
        "Other_DOT_h": fuller,
        "pins_DOT_h": "#if MOTHERBOARD == 1\n#define MOTHERBOARD 2\n#endif\n" * 9,
        "examples__snipe__Configuration_DOT_h": fuller,
        "examples__crake__Configuration_DOT_h": fuller,
    }
    (machine,), _ = found(tmp_path, **files)
    names = ["Configuration.h", "Configuration_adv.h", "pins.h", "limits.h"]
    assert [s.name for s in machine.sources] == names
    assert machine.starts == ("Configuration.h", "Configuration_adv.h", "pins.h")


def test_main_chooses_among_machines(tmp_path: Path) -> None:
    """By the file's name, with as much of its folders as it needs, or its path on the disk."""
    found(tmp_path, avocet__machine_DOT_cfg=PRINTER, snipe__machine_DOT_cfg=PRINTER)
    handed = gather([tmp_path])
    for main in ("snipe/machine.cfg", str(tmp_path / "snipe" / "machine.cfg")):
        (machine,), _ = machines(handed, main=main)
        assert machine.main.name == "snipe/machine.cfg"
    none, (problem,) = machines(handed, main="machine.cfg")
    assert (none, problem.message) == ((), "there are several such files")
    none, (problem,) = machines(handed, main="snipe/machin.cfg")
    assert (none, problem.nearest) == ((), "snipe/machine.cfg")


def test_files_that_nothing_includes_are_named_once_and_read_for_nothing(tmp_path: Path) -> None:
    """However complete they look; the main file may hold nothing but includes."""
    files = {
        "printer_DOT_cfg": "[include kin.cfg]\n[include parts/*.cfg]\n",
        "kin_DOT_cfg": PRINTER.replace("[include toolhead.cfg]\n", ""),
        "parts__hot_DOT_cfg": EXTRUDER,
        "before_DOT_cfg": PRINTER + EXTRUDER + "[printer]\n",
        "other_DOT_conf": "[server]\nhost: 0.0.0.0\n",
    }
    (machine,), problems = found(tmp_path, **files)
    assert [s.name for s in machine.sources] == ["printer.cfg", "kin.cfg", "parts/hot.cfg"]
    assert machine.reason == (
        "section style (6 [section] lines, 4 keys in 3 files); reading starts at printer.cfg; "
        "not used: before.cfg, other.conf"
    )
    assert read(machine).unused == ("before.cfg", "other.conf")
    assert problems == ()


def test_what_an_include_asks_for_is_configuration_whatever_its_name(tmp_path: Path) -> None:
    """A log by its name that is a picture is not; neither is prose, nor a link saved as text."""
    wanted = (
        "[include hot.log]\n[include fan.sh]\n[include p.py]\n[include n.txt]\n[include l.cfg]\n"
    )
    (tmp_path / "p.py").write_bytes(b"\x89PNG....")
    files = {
        "printer_DOT_cfg": wanted + PRINTER.replace("[include toolhead.cfg]\n", ""),
        "hot_DOT_log": EXTRUDER,
        "fan_DOT_sh": "[fan]\npin: PB8\n",
        "n_DOT_txt": "Hello, my printer does not heat, could you help me please?\n",
        "l_DOT_cfg": "../shared/fans.cfg\n",
        "idle_DOT_py": "print('hello')\n",
    }
    (machine,), problems = found(tmp_path, **files)
    assert [s.name for s in machine.sources] == ["printer.cfg", "hot.log", "fan.sh"]
    reading = read(machine)
    assert {it.name: it.why.partition(":")[0] for it in reading.not_sent} == {
        "p.py": "this is a PNG picture, not a configuration",
        "n.txt": "this is prose, not a configuration",
        "l.cfg": "this is a link saved as text, not a configuration",
    }
    assert [(it.file, it.fatal) for it in reading.problems] == [
        ("p.py", True),
        ("n.txt", True),
        ("l.cfg", True),
    ]
    assert problems == ()


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("config.g", '; M950 H1 C"e0heat" T1\n; all of it is off\n'),
        ("printer.cfg", "#[printer]\n#kinematics: none\n#[extruder]\n#heater_pin: PA1\n"),
        ("m.h", "//#define MOTHERBOARD BOARD_HERON_2\n//#define TEMP_SENSOR_0 1\n"),
    ],
)
def test_a_file_that_is_all_comment_could_not_be_checked(
    name: str, text: str, tmp_path: Path
) -> None:
    (tmp_path / name).write_text(text)
    (machine,), _ = machines(gather([tmp_path]))
    with pytest.raises(UnreadableError, match="nothing in it is in force"):
        read(machine)


def test_the_source_of_a_firmware_around_its_main_header_is_left_out(tmp_path: Path) -> None:
    """Whose whole source was handed over, for example: each board's pins header contradicts."""
    boards = {f"src__pins__b{n}_DOT_h": f"#define HEATER_0_PIN {n}\n" for n in range(30)}
    programs = {f"src__p{n}_DOT_cpp": "#define FAN_PIN 3\nint a;\n" for n in range(3)}
    files = {"m_DOT_h": MAIN_H, "m_adv_DOT_h": ADVANCED_H, **boards, **programs}
    (machine,), problems = found(tmp_path, **files)
    assert [s.name for s in machine.sources] == ["m.h", "m_adv.h"]
    assert "not used: src/pins/b0.h, src/pins/b1.h, src/pins/b10.h" in machine.reason
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
    tmp_path: Path, file: str, text: str, style: StyleName
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


def test_a_pack_of_macros_that_nothing_calls_counts_against_no_bound(tmp_path: Path) -> None:
    """What the start-up script names, and what events start, is read all the same."""
    pack = {f"macros__m{n}_DOT_g": f"M106 P0 S{n % 2}\n" for n in range(420)}
    sent = {"toolhead_DOT_g": 'M98 P"more.g"\n', "more_DOT_g": 'M950 F0 C"fan0"\n'}
    files = {"config_DOT_g": START, **pack, **sent, "deployprobe_DOT_g": "M280 P1 S10\n"}
    (machine,), problems = found(tmp_path, **files)
    assert not problems
    names = {source.name for source in machine.sources}
    assert names == {"config.g", "toolhead.g", "more.g", "deployprobe.g"}
    reading = read(machine)
    assert [lost.setting.section for lost in reading.lost] == ["M280 P1"] * 2
    assert reading.not_sent == ()


def test_more_than_one_machine_has_is_refused_in_true_words(tmp_path: Path) -> None:
    calls = "".join(f'M98 P"m{n}.g"\n' for n in range(420))
    pack = {f"m{n}_DOT_g": "M106 P0 S1\n" for n in range(420)}
    with pytest.raises(UnreadableError, match="more than 400 files or 5 MB"):
        found(tmp_path, config_DOT_g=START + calls, **pack)
