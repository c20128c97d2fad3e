"""Mistakes in every table of every wiring file: all in one run, each at its line and column."""

import os
from pathlib import Path

import pytest
from wiring_machines import MACHINE

from pincheck import resources
from pincheck.model.problem import UnreadableError
from pincheck.wiring import load, load_board

CASES = Path(__file__).parent / "cases"


def problems(path, loader=load):
    """Return every problem of a file that cannot be loaded."""
    with pytest.raises(UnreadableError) as caught:
        loader(path)
    return caught.value.problems


def test_every_mistake_of_an_assembly_is_reported_to_the_letter():
    """Compared with the expected text; PINCHECK_REGENERATE=1 writes it anew for review."""
    found = problems(CASES / "mistakes" / "machine.toml")
    text = "".join(f"{problem}\n" for problem in found)
    expected = CASES / "mistakes" / "expected.txt"
    if os.environ.get("PINCHECK_REGENERATE"):
        expected.write_text(text, encoding="utf-8")
    assert text == expected.read_text(encoding="utf-8")


def test_every_problem_carries_its_line():
    """What is shown beside a message is the line that it speaks of."""
    for problem in problems(CASES / "mistakes" / "machine.toml"):
        lines = (CASES / "mistakes" / problem.file).read_text(encoding="utf-8").splitlines()
        assert problem.span is not None
        assert problem.text == lines[problem.span.line - 1]


def test_a_board_alone_reports_all_its_mistakes():
    """The same mistakes, named after the file itself."""
    whole = problems(CASES / "mistakes" / "machine.toml")
    alone = problems(CASES / "mistakes" / "boards" / "bittern.toml", load_board)
    assert {p.message for p in alone} == {
        p.message for p in whole if p.file == "boards/bittern.toml"
    }
    assert {p.file for p in alone} == {"bittern.toml"}


def test_a_good_line_beside_a_bad_one_is_no_mistake(tmp_path):
    """A line that cannot be read does not make its key or its net look missing."""
    path = tmp_path / "board.toml"
    path.write_text('[board]\nname = Avocet\n[connectors.a]\npins = ["X", "GND"]\n')
    assert [problem.span.line for problem in problems(path, load_board)] == [2]


@pytest.mark.parametrize("table", ["connectors", "nets", "drivers", "pin_names", "stock_pins"])
@pytest.mark.parametrize("written", ["1e9", "true", '"X"', "[1]", "1979-05-27"])
def test_a_bare_value_in_place_of_a_table_is_a_mistake(tmp_path, table, written):
    """A slip that makes a table a number is told like any other."""
    path = tmp_path / "board.toml"
    path.write_text(f'[board]\nname = "Avocet"\n[{table}]\na = {written}\n')
    if (table, written) == ("stock_pins", '"X"'):
        return
    assert problems(path, load_board)


@pytest.mark.parametrize(
    ("written", "says"),
    [
        ("../outside.toml", "leads out"),
        ("sub/../../outside.toml", "leads out"),
        ("link.toml", "leads out"),
        ("linked/outside.toml", "leads out"),
        ("/etc/hostname", "absolute"),
        ("C:/outside.toml", "absolute"),
        ("", "empty"),
        ("sub", "no file"),
        ("a\\u0000b", "control character|broken"),
    ],
)
def test_no_path_leaves_the_assemblys_folder(tmp_path, written, says):
    """Not by dots, not by links, not by an absolute path."""
    home = tmp_path / "home"
    (home / "sub").mkdir(parents=True)
    (tmp_path / "outside.toml").write_text('[board]\nname = "Outside"\n')
    (home / "link.toml").symlink_to(tmp_path / "outside.toml")
    (home / "linked").symlink_to(tmp_path)
    text = f'[assembly]\nname = "x"\n[boards]\nmain = "{written}"\n'
    (home / "machine.toml").write_text(text)
    (problem,) = problems(home / "machine.toml")
    assert any(word in problem.message for word in says.split("|"))
    assert (problem.span.line, problem.span.column) == (4, 8)


def test_dots_and_links_inside_the_folder_are_fine(tmp_path):
    """What stays inside is found, whatever way its path takes."""
    (tmp_path / "sub").mkdir()
    (tmp_path / "board.toml").write_text('[board]\nname = "Avocet"\n')
    (tmp_path / "sub" / "link.toml").symlink_to(tmp_path / "board.toml")
    text = '[assembly]\nname = "x"\n[boards]\na = "sub/../board.toml"\nb = "sub/link.toml"\n'
    (tmp_path / "machine.toml").write_text(text)
    assert {board.name for board in load(tmp_path / "machine.toml").boards.values()} == {"Avocet"}


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (b"\xff\xfea\x00", "UTF-8"),
        (b"# caf\xe9", "UTF-8"),
        (b"#" * 300_000, "larger than"),
        (b"<html><body>", "not TOML"),
        (b"", r"\[assembly\] is missing"),
    ],
)
def test_other_files_are_refused_in_words(tmp_path, data, says):
    """UTF-16, latin-1, a file too large, a web page, an empty file."""
    (tmp_path / "machine.toml").write_bytes(data)
    with pytest.raises(UnreadableError, match=says):
        load(tmp_path / "machine.toml")


def test_a_missing_file_and_a_folder_are_problems(tmp_path):
    """Neither is a crash."""
    (tmp_path / "nine.toml").touch()
    (missing,) = problems(tmp_path / "none.toml")
    assert "no such file" in missing.message
    assert missing.nearest == "nine.toml"
    assert "read" in problems(tmp_path / "none" / "none.toml")[0].message
    (folder,) = problems(tmp_path, load_board)
    assert folder.message == "this is a folder"
    assert folder.expected == "a file, such as nine.toml"


def test_a_boards_file_in_place_of_an_assembly_is_one_mistake_and_named():
    (found,) = problems(resources.folder("configs") / "boards" / "heron-2.toml")
    assert "describes a board" in found.message


def test_what_is_no_assembly_at_all_is_one_sentence():
    """Neither a parts file nor a configuration is gone through key by key."""
    (parts,) = problems(resources.folder("configs") / "parts.toml")
    assert "describes parts" in parts.message
    for name in ("section/machine.cfg", "gcode/config.g"):
        (other,) = problems(resources.folder("configs") / "clean" / name)
        assert "this is no TOML file" in other.message


def test_a_broken_part_is_told_where_it_stands_and_not_where_it_is_fitted(tmp_path):
    (tmp_path / "mine.toml").write_text('[fan-mine]\nkind = "fann"\n')
    wiring = tmp_path / "machine.toml"
    wiring.write_text(
        '[assembly]\nname = "Snipe"\nparts = ["mine.toml"]\n[boards]\n[fit.fan]\n'
        'role = "part.fan"\nat = "main.fan"\npart = "fan-mine"\n'
    )
    told = [str(problem) for problem in problems(wiring)]
    assert told[0].startswith("mine.toml:2:8: kind is 'fann'")
    assert not [text for text in told if "there is no part" in text]


@pytest.mark.parametrize(
    ("role", "part", "meant"),
    [
        ("bed.thermistor", "ntc-100k-b3950", "bed.sensor"),
        ("hotend1.heating", "heater-24v-40w", "hotend1.heater"),
        ("x.switch", "endstop-switch-nc", "x.endstop"),
        ("prat.fan", "fan-24v-0a1", "part.fan"),
        ("nozzle.cooler", "heater-24v-40w", ""),
    ],
)
def test_a_wrong_role_is_told_one_that_the_part_can_serve(tmp_path, role, part, meant):
    wiring = tmp_path / "machine.toml"
    wiring.write_text(
        f'[assembly]\nname = "Snipe"\n[boards]\n[fit.it]\nrole = "{role}"\npart = "{part}"\n'
    )
    (found,) = [it for it in problems(wiring) if "no role" in it.message]
    assert found.nearest == meant
    assert ("hotend.heater" in found.expected) == (not meant)


def test_an_unknown_role_is_one_that_no_fit_has(tmp_path):
    wiring = tmp_path / "machine.toml"
    wiring.write_text(
        '[assembly]\nname = "Snipe"\nunknown = ["part.fan", "hotend.fann", "bed.plate"]\n[boards]\n'
        '[fit.plate]\nrole = "bed.plate"\npart = "plate-marsh"\n'
    )
    told = [str(problem) for problem in problems(wiring) if problem.span.line == 3]
    assert [text.partition("; ")[0] for text in told] == [
        "machine.toml:3:24: there is no role 'hotend.fann'",
        "machine.toml:3:39: role bed.plate is fitted by fit 'plate'",
    ]


def test_a_flood_of_mistakes_is_cut_short(tmp_path):
    """A file that is something else does not take minutes or fill the screen."""
    keys = "\n".join(f"k{number} = 1" for number in range(5000))
    (tmp_path / "machine.toml").write_text(f"[assembly]\n{keys}\n")
    found = problems(tmp_path / "machine.toml")
    assert len(found) <= 501
    assert "no more are listed" in found[-1].message


def test_a_part_fitted_twice_is_told_the_next_role_that_no_fit_has(tmp_path):
    fits = "".join(
        f'[fit.fan_{number}]\nrole = "{role}"\nat = "main.fan"\npart = "fan-24v-0a1"\n'
        for number, role in enumerate(("part.fan", "part.fan", "part1.fan"))
    )
    wiring = tmp_path / "machine.toml"
    wiring.write_text(f'[assembly]\nname = "Snipe"\n[boards]\n{fits}')
    twice = [str(problem) for problem in problems(wiring) if "twice" in str(problem)]
    assert len(twice) == 1
    assert twice[0].endswith("expected one fit for each role: part2.fan is the next free one")


DRIVEN = """[board]
name = "Avocet"
chip = "stm32f401rct6"
[drivers.Z]
step_pin = "PB9"
{drivers}[connectors.z]
pins = ["Z_1A", "Z_1B", "Z_2A", "Z_2B"]
[connectors.fan]
pins = ["24V", "GND"]
"""
COILS = 'coils = ["Z_1A", "Z_1B", "Z_2A", "Z_2B"]'


def driven(folder, drivers, nets=""):
    """Write a board with a motor's connector and return its path."""
    path = folder / "board.toml"
    path.write_text(DRIVEN.format(drivers=drivers) + nets)
    return path


def test_a_motor_whose_nets_hang_on_no_driver_is_one_mistake(tmp_path):
    """Told once, at its connector, with the line that mends it; that line then does."""
    (only,) = problems(driven(tmp_path, ""), load_board)
    assert str(only) == (
        'board.toml:7:9: no driver for "Z_1A", "Z_1B", "Z_2A", "Z_2B", which look like the ends '
        f"of a motor's coils; expected {COILS} in [drivers.Z]"
    )
    board = load_board(driven(tmp_path, COILS + "\n"))
    assert {name for name, net in board.nets.items() if net.driver == "Z"} == set(
        board.drivers["Z"].coils
    )


def test_one_end_of_a_coil_without_a_driver_is_told_where_the_others_hang(tmp_path):
    """No other motor's net is offered for it, however alike it is called."""
    nets = "[nets]\n" + "".join(f'Z_{end}.driver = "Z"\n' for end in ("1B", "2A", "2B"))
    (only,) = problems(driven(tmp_path, "", nets), load_board)
    assert str(only) == (
        'board.toml:7:9: no driver for "Z_1A", which looks like the end of a motor\'s coils; '
        'expected driver = "Z" in [nets.Z_1A]'
    )


@pytest.mark.parametrize(
    ("coils", "nets", "says"),
    [
        ('["Z_1A", "Z_1B"]', "", "6:9: 2 ends of two coils; expected four nets"),
        ('["Z_1A", "Z_1B", "Z_2A", "Z_3B"]', "", "6:34: net 'Z_3B' stands on no connector"),
        ('["Z_1A", "Z_1B", "Z_2A", "Z_2A"]', "", "6:34: net 'Z_2A' is a coil's end already"),
        (COILS[8:], '[nets]\nZ_1A.driver = "X"\n', "12:15: 'Z_1A' is a coil's end of driver 'Z'"),
    ],
)
def test_a_list_of_coils_is_checked(tmp_path, coils, nets, says):
    """Four ends, each a net of a connector, each once, and no other driver on any of them."""
    found = problems(driven(tmp_path, f"coils = {coils}\n", nets), load_board)
    assert any(says in str(problem) for problem in found)


def test_a_pull_up_to_ground_is_refused_and_a_pull_down_is_not(tmp_path):
    """A pull-up to 0 V reads no sensor; one to a few millivolts is a wrong unit."""
    text = '[board]\nname = "Avocet"\n[nets.A]\n{pull}\n[connectors.a]\npins = ["A", "GND"]\n'
    path = tmp_path / "board.toml"
    for volts in ("0", "0.02"):
        path.write_text(text.format(pull=f"pullup = {{ ohm = 4700, to_v = {volts} }}"))
        (only,) = problems(path, load_board)
        assert str(only).startswith(f"board.toml:4:31: to_v = {volts} makes no sense")
    path.write_text(text.format(pull="pulldown = { ohm = 4700, to_v = 0 }"))
    assert load_board(path).nets["A"].pulldown.to_v == 0


def test_files_that_together_pass_the_bound_refuse_the_assembly_where_they_do(tmp_path):
    """Nine files of 120 kB are more than 1 MiB; eight are not."""
    for number in range(9):
        comments = f"# {'-' * 76}\n" * 1_540
        (tmp_path / f"p{number}.toml").write_text(comments, encoding="utf-8")
    wiring = tmp_path / "machine.toml"
    for count, says in ((9, "3:98: more than 1024 KiB of files"), (8, "there is no board")):
        files = ", ".join(f'"p{number}.toml"' for number in range(count))
        wiring.write_text(f'[assembly]\nname = "Snipe"\nparts = [{files}]\n', encoding="utf-8")
        (only,) = problems(wiring)
        assert says in str(only)


@pytest.mark.parametrize(
    ("kind", "figure"),
    [
        ("heater", "resistance_ohm = 5_000_000"),
        ("block", "loss_w_k = 0.0005"),
        ("fan", "current_a = 0.0005"),
    ],
)
def test_figures_that_nothing_can_be_worked_out_with_are_refused(tmp_path, kind, figure):
    """Past what the formulas take, a figure is a wrong unit: told at its line."""
    (tmp_path / "own.toml").write_text(f'[odd]\nkind = "{kind}"\n{figure}\n', encoding="utf-8")
    (tmp_path / "board.toml").write_text('[board]\nname = "Avocet"\n', encoding="utf-8")
    wiring = tmp_path / "machine.toml"
    wiring.write_text(
        '[assembly]\nname = "Snipe"\nparts = ["own.toml"]\n[boards]\nmain = "board.toml"\n',
        encoding="utf-8",
    )
    (only,) = problems(wiring)
    assert str(only).startswith(f"own.toml:3:{figure.index('=') + 3}: ")
    assert "makes no sense" in only.message


@pytest.mark.parametrize(
    ("part", "says"),
    [
        ('kind = "fan"\ntachometer = { output = "npm" }', "3:25: output is 'npm'; expected output"),
        ('kind = "fan"\ntachometer = { pulses = 2 }', "3:14: tachometer lacks the key 'output'"),
        (
            'kind = "fan"\ntachometer = { output = "open-collector" }',
            "3:1: no terminal of 'odd' is its tachometer; expected terminals = ",
        ),
        (
            'kind = "probe"\nterminals = ["supply", "ground", "tachometer"]',
            "3:34: a probe has no tachometer; expected kind = ",
        ),
        ('kind = "fan"\nspeed_rpm = 9', "3:13: speed_rpm = 9 makes no sense"),
    ],
)
def test_a_tachometer_belongs_to_a_terminal_of_a_fan(tmp_path, part, says):
    (tmp_path / "own.toml").write_text(f"[odd]\n{part}\n", encoding="utf-8")
    (tmp_path / "board.toml").write_text('[board]\nname = "Avocet"\n', encoding="utf-8")
    wiring = tmp_path / "machine.toml"
    wiring.write_text(
        '[assembly]\nname = "Snipe"\nparts = ["own.toml"]\n[boards]\nmain = "board.toml"\n',
        encoding="utf-8",
    )
    found = [str(problem) for problem in problems(wiring)]
    assert any(text.startswith(f"own.toml:{says}") for text in found), found


def test_words_of_a_part_that_nobody_knows_are_told_with_the_nearest(tmp_path):
    """A curve that the catalogue lacks, and a firmware's own word for the kind of probe."""
    parts = '[bead]\nkind = "sensor"\nsensor = "ntc-100k-b395"\n'
    parts += '[feeler]\nkind = "probe"\nprobe_kind = "servo-deploy"\n'
    files = {"machine.toml": MACHINE, "parts.toml": parts}
    for name, text in files.items():
        (tmp_path / name).write_text(text)
    for name in ("main", "tool"):
        (tmp_path / f"{name}.toml").write_text(f'[board]\nname = "{name}"\n')
    told = [(it.file, it.span.line, it.nearest) for it in problems(tmp_path / "machine.toml")]
    assert ("parts.toml", 3, "ntc-100k-b3950") in told
    assert ("parts.toml", 6, "servo-deployed") in told
