"""Each command as its user runs it: output, exit code, and where errors go."""

import io
import json
import re
import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from pincheck import api
from pincheck.cli.main import COMMANDS, main
from pincheck.writing.change import FileChange
from pincheck.writing.journal import begin

WIRING = ["--wiring", str(api.demo("marsh-230-c.toml"))]


def configuration(files: str, style: str = "section") -> str:
    return str(api.demo(files) / style)


@pytest.mark.parametrize("style", ["define", "section", "gcode"])
def test_a_clean_machine_exits_0_and_a_planted_one_1(
    style: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["check", configuration("clean", style), *WIRING]) == 0
    assert main(["check", configuration("planted", style), *WIRING]) == 1
    assert capsys.readouterr().err == ""


def test_the_demo_flag_is_enough_to_see_something(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", "--demo"]) == 1
    out = capsys.readouterr().out
    assert out.startswith("Marsh 230 with Lapwing C\n")
    assert "Do not power on" in out


def test_only_findings_as_severe_as_asked_count(tmp_path: Path) -> None:
    machine = tmp_path / "machine.cfg"
    text = (api.demo("clean/section") / "toolhead.cfg").read_text()
    main_text = (api.demo("clean/section") / "machine.cfg").read_text()
    (tmp_path / "toolhead.cfg").write_text(text.replace("heater_temp: 50.0", "heater_temp: 90.0"))
    machine.write_text(main_text)
    assert main(["check", str(tmp_path), *WIRING]) == 1
    assert main(["check", str(tmp_path), *WIRING, "--at-least", "fault"]) == 0


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        ([], "typical commands: pincheck check --demo"),
        (["chek"], "there is no command chek; did you mean check?"),
        (["xyzzy"], "there is no command xyzzy"),
        (["check", "--wirng", "a.toml"], "usage: pincheck check [-h]"),
        (["check", "--wirng", "a.toml"], "no option --wirng; did you mean --wiring?"),
        (["edits", "--demo", "--takes=1"], "no option --takes; did you mean --take?"),
        (["trace", "hotend.fan", "part.fan"], "one argument too many: part.fan"),
        (["check"], "which wiring?"),
        (["check", *WIRING], "which configuration?"),
        (["check", "no/such/folder", *WIRING], "no such file or folder in 'no/such'"),
        (["check", configuration("clean", "sektion"), *WIRING], "did you mean 'section'?"),
        (["check", configuration("clean"), "--wiring", "no/x.toml"], "cannot be read in 'no'"),
        (
            ["check", configuration("clean"), "--wiring", str(api.demo("marsh-230-d.toml"))],
            "did you mean 'marsh-230-c.toml'?",
        ),
        (
            ["check", configuration("clean"), "--wiring", str(api.demo("."))],
            "this is a folder; expected a file, such as marsh-230-b.toml, marsh-230-c.toml",
        ),
        (
            ["check", configuration("clean"), "--wiring", str(api.demo("boards/lapwing-c.toml"))],
            "this file describes a board; name the assembly that the board is part of",
        ),
        (["check", "--demo", "--style", "ini"], "invalid choice"),
        (["check", configuration("clean"), "--wiring", "none.toml"], "none.toml"),
        (["trace", "hotend.haeter", "--demo"], "did you mean hotend.heater?"),
        (
            ["trace", "chamber.fan", "--demo"],
            "'chamber.fan'; fitted are hotend",
        ),
        (["trace", "hotend2.fan", "--demo"], "nothing is fitted for 'hotend2.fan'; fitted are"),
        (["figures", "--demo", "--role", "chamber.fan"], "no figures of 'chamber.fan'; there are"),
        (["figures", "--demo", "--role", "part.fann"], "did you mean part.fan?"),
        (["why", "pins-swaped"], "did you mean pins-swapped?"),
        (["why", "99", "--demo"], "none with number 99"),
        (["edits", "--demo", "--take", "0"], "--take wants numbers"),
        (["check", str(api.demo("clean")), *WIRING], "machines here"),
    ],
)
def test_what_cannot_be_checked_exits_2_and_says_why_on_stderr(
    arguments: list[str], words: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(arguments) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert words in " ".join(err.split())


@pytest.mark.parametrize("command", COMMANDS)
def test_help_describes_a_command_without_repeating_its_name(
    command: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main([command, "--help"]) == 0
    out = capsys.readouterr().out
    assert out.startswith(f"usage: pincheck {command} [-h]")
    assert f"`{command}`" not in out


def test_json_goes_to_stdout_alone(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", "--demo", "--json"]) == 1
    out, err = capsys.readouterr()
    assert json.loads(out)["machine"] == "Marsh 230 with Lapwing C"
    assert err == ""


def test_standard_input_is_read(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    data = (api.demo("clean/section") / "toolhead.cfg").read_bytes()
    monkeypatch.setattr("sys.stdin", io.TextIOWrapper(io.BytesIO(data)))
    assert main(["check", "-", *WIRING]) in (0, 1)
    assert "section style" in capsys.readouterr().out


def copied(tmp_path: Path, style: str = "section") -> Path:
    folder = tmp_path / style
    folder.mkdir()
    for path in (api.demo("planted") / style).iterdir():
        (folder / path.name).write_bytes(path.read_bytes())
    return folder


def test_edits_are_shown_and_nothing_is_written_without_being_asked(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = copied(tmp_path)
    before = {path: path.read_bytes() for path in folder.iterdir()}
    main(["edits", str(folder), *WIRING])
    out = capsys.readouterr().out
    assert out.startswith("--- ")
    assert "Nothing was written" in out
    assert {path: path.read_bytes() for path in folder.iterdir()} == before


def test_written_edits_leave_fewer_findings(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = copied(tmp_path)
    main(["check", str(folder), *WIRING, "--json"])
    before = json.loads(capsys.readouterr().out)
    main(["edits", str(folder), *WIRING, "--write"])
    assert "written: " in capsys.readouterr().out
    main(["check", str(folder), *WIRING, "--json"])
    after = json.loads(capsys.readouterr().out)
    safe = [f for f in before["findings"] if f["edit"]["replacements"] and f["edit"]["safe"]]
    assert safe
    assert len(after["findings"]) == len(before["findings"]) - len(safe)


def test_written_edits_are_taken_back_by_a_later_command(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = copied(tmp_path)
    states = [{path.name: path.read_bytes() for path in folder.iterdir()}]
    for number in ("1", "1"):
        main(["edits", str(folder), *WIRING, "--write", "--take", number])
        states.append({name: (folder / name).read_bytes() for name in states[0]})
    for state in reversed(states[:-1]):
        assert main(["edits", str(folder), "--undo"]) == 0
        assert {name: (folder / name).read_bytes() for name in states[0]} == state
    capsys.readouterr()
    assert main(["edits", str(folder), "--undo"]) == 0
    assert capsys.readouterr().out == "Nothing here can be undone.\n"
    assert {path.name for path in folder.iterdir()} == set(states[0])


def test_what_was_changed_since_is_not_taken_back(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = copied(tmp_path)
    main(["edits", str(folder), *WIRING, "--write"])
    file = folder / "toolhead.cfg"
    file.write_bytes(file.read_bytes() + b"\n# mine\n")
    before = {path: path.read_bytes() for path in folder.iterdir()}
    assert main(["edits", str(folder), "--undo"]) == 2
    assert "toolhead.cfg changed since it was written; nothing was" in capsys.readouterr().err
    assert {path: path.read_bytes() for path in folder.iterdir()} == before


@pytest.mark.parametrize("kept", [b"", b"[", b"[1, 2]", b'["pincheck", []]', b"[" * 99_999])
def test_what_is_no_record_of_edits_is_left_alone(
    kept: bytes, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = copied(tmp_path)
    (folder / ".pincheck-undo").write_bytes(kept)
    before = {path: path.read_bytes() for path in folder.iterdir()}
    for asked in (["--undo"], [*WIRING, "--write"]):
        assert main(["edits", str(folder), *asked]) == 2
    assert "keeps nothing that can be undone" in capsys.readouterr().err
    assert {path: path.read_bytes() for path in folder.iterdir()} == before


@pytest.mark.parametrize("command", ["edits", "reference"])
def test_what_cannot_be_written_back_is_refused_before_any_difference(
    command: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    archive = shutil.make_archive(str(tmp_path / "machine"), "zip", copied(tmp_path))
    machine = ["--onto", archive] if command == "reference" else [archive]
    assert main([command, *machine, *WIRING, "--write"]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert "is not written back: pincheck edits --into FOLDER writes a copy of your own" in err


@pytest.mark.parametrize(
    "arguments",
    [
        ["edits", "--demo"],
        ["edits", configuration("planted"), *WIRING],
        ["reference", "--demo", "--onto", configuration("planted", "define")],
    ],
)
def test_the_installed_demo_is_never_written(
    arguments: list[str], capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    # Should it be written after all, the tree that the tests run in must not lose its files.
    monkeypatch.setattr("pincheck.edits.write.write_all", lambda _: None)
    assert main([*arguments, "--write"]) == 2
    assert "the installed demo is not written back" in capsys.readouterr().err


def test_edits_go_into_a_copy_of_the_demo_or_of_an_archive(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    archive = shutil.make_archive(str(tmp_path / "machine"), "zip", copied(tmp_path))
    for name, machine in {"one": ["--demo"], "two": [archive, *WIRING]}.items():
        assert main(["edits", *machine, "--into", str(tmp_path / name)]) == 1
        assert "written: toolhead.cfg" in capsys.readouterr().out
        assert main(["check", str(tmp_path / name), *WIRING]) == 1
        assert "max_temp" not in capsys.readouterr().out
    assert main(["edits", "--demo", "--take", "1", "--into", str(tmp_path / "one")]) == 2
    assert "nothing was changed" in capsys.readouterr().err


def test_where_no_edit_applies_the_report_is_not_repeated(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    shutil.copytree(api.demo("boards"), tmp_path / "boards")
    wiring = tmp_path / "machine.toml"
    text = api.demo("marsh-230-c.toml").read_text()
    wiring.write_text(text.replace("fan-24v-0a1", "fan-12v-0a1"))
    arguments = ["edits", configuration("clean"), "--wiring", str(wiring), "--take", "1"]
    assert main(arguments) == 1
    out = capsys.readouterr().out
    assert out.startswith("1. no edit: Fit a fan made for 24 V")
    assert out.splitlines()[-2] == "No edit was applied."
    assert out.splitlines()[-1].startswith("Do not power on: 1 danger")


def test_a_rule_and_a_finding_are_explained(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["why", "sensor-table-differs"]) == 0
    out = capsys.readouterr().out
    assert "source" in out
    assert "Stays quiet when" in out
    assert main(["why", "1", "--demo"]) == 0
    assert "1. " in capsys.readouterr().out


def test_rules_words_and_claims_are_listed(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["rules"]) == 0
    assert "pins-swapped" in capsys.readouterr().out
    assert main(["words", "define"]) == 0
    assert "TEMP_SENSOR_{n}" in capsys.readouterr().out
    assert main(["claims", configuration("clean"), *WIRING]) == 0
    out = capsys.readouterr().out
    assert "hotend.heater    max_c" in out
    assert "toolhead.cfg:" in out


@pytest.mark.parametrize("options", ["", "--json"])
def test_a_closed_pipe_ends_without_a_word_and_with_the_commands_own_exit_code(
    options: str,
) -> None:
    command = f"{sys.executable} -m pincheck check --demo {options}"
    run = subprocess.run(
        ["bash", "-c", f"{command} | head -n 1; exit ${{PIPESTATUS[0]}}"],
        capture_output=True,
        text=True,
        check=False,
    )
    assert run.stdout == ("{\n" if options else "Marsh 230 with Lapwing C\n")
    assert run.stderr == ""
    assert run.returncode == 1


def test_a_forks_own_key_is_understood_checked_and_edited(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    for path in (api.demo("clean/section")).iterdir():
        text = path.read_text().replace("max_temp: 255", "hottest_c: 300")
        (tmp_path / path.name).write_text(text)
    fork = tmp_path / "fork.toml"
    fork.write_text(
        'style = "section"\nentries = [ { section = "extruder{n?}", key = "hottest_c", '
        'role = "hotend{n?}.heater", attribute = "max_c", as = "number" } ]\n'
    )
    files = [str(tmp_path / "machine.cfg"), str(tmp_path / "toolhead.cfg")]
    assert main(["edits", *files, *WIRING, "--words", str(fork)]) == 0
    out = capsys.readouterr().out
    assert "-hottest_c: 300" in out
    assert "+hottest_c: 255" in out


_SILENT = {
    "empty": ("config.g", ""),
    "comments": ("printer.cfg", "# nothing yet\n"),
    "section": ("printer.cfg", "[gcode_macro HOME]\ngcode: G28\n"),
    "gcode": ("config.g", "G28\n"),
    "define": ("Configuration.h", "#define NOTHING 3\n#define OF_IT\n"),
    "circle": ("sys/config.g", 'M505 P"config_a"\nM98 P"config.g"\n'),
}


@pytest.mark.parametrize("file", _SILENT)
@pytest.mark.parametrize("command", ["check", "edits", "reference", "claims", "configurations"])
def test_files_that_claim_nothing_are_no_clean_machine(
    command: str, file: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Nothing of the firmware was seen, so no command that judges may end with 0."""
    name, text = _SILENT[file]
    path = tmp_path / "mine" / name
    path.parent.mkdir(parents=True)
    path.write_text(text)
    mine = str(tmp_path / "mine")
    machine = {"reference": ["--onto", mine], "configurations": [mine, mine]}.get(command, [mine])
    assert main([command, *machine, *(() if command == "configurations" else WIRING)]) == 2
    out, err = capsys.readouterr()
    said = (out + err).replace("\n  ", " ")
    words = "no line sets anything of a heater|No line claims|no setting of any|Nothing to compare"
    assert re.search(f"{words}|the file is empty", said)


def test_what_could_be_read_by_half_only_is_not_the_same(tmp_path: Path) -> None:
    mine = tmp_path / "machine.cfg"
    mine.write_text((api.demo("clean/section") / "toolhead.cfg").read_text())
    assert main(["configurations", str(mine), str(mine)]) == 0
    mine.write_text(f"{mine.read_text()}\n[extruder]\nsensor_type: {'x' * 100_000}\n")
    assert main(["configurations", str(mine), str(mine)]) == 2


@pytest.mark.parametrize(
    "command",
    [["edits", "--write"], ["reference", "--write", "--onto"], ["edits", "--into", "new"]],
)
def test_nothing_is_written_where_a_file_could_not_be_read(
    command: list[str], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Its trouble is shown as `check` shows it; what it holds could undo every edit."""
    folder = Path(copied(tmp_path))
    (folder / "more.cfg").write_bytes(b"\0\1\2" * 100)
    files = [str(path) for path in sorted(folder.iterdir())]
    before = [Path(file).read_bytes() for file in files]
    command = [str(tmp_path / word) if word == "new" else word for word in command]
    assert main([*command, *files, *WIRING]) == 2
    said = capsys.readouterr()
    assert "Trouble reading the files:\n  more.cfg" in said.out
    assert "nothing was written: more.cfg could not be read as a whole" in said.err
    assert [Path(file).read_bytes() for file in files] == before
    assert not (tmp_path / "new").exists()


def test_the_command_after_a_kill_says_what_it_mends(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Beside the configuration and beside the wiring; the one after that has nothing to say."""
    wiring = tmp_path / "wiring"
    shutil.copytree(api.demo("boards"), wiring / "boards")
    shutil.copy(api.demo("marsh-230-c.toml"), wiring)
    machine = copied(tmp_path) / "machine.cfg"
    before = machine.read_bytes()
    begin(machine.parent, [FileChange(machine, "machine.cfg", before, b"[fan]\n")]).close()
    machine.write_bytes(b"[fan]\n")
    drafted = wiring / "drafted.toml"
    begin(wiring, [FileChange(drafted, "drafted.toml", None, b"[assembly]\n", True)]).close()
    drafted.write_bytes(b"[assem")
    command = ["check", str(machine.parent), "--wiring", str(wiring / "marsh-230-c.toml")]
    main(command)
    said = capsys.readouterr()
    assert f"a change in {wiring} was cut off and is undone: drafted.toml" in said.err
    assert "was cut off when it was done: machine.cfg" in " ".join(said.out.split())
    assert not drafted.exists()
    assert sorted(path.name for path in machine.parent.iterdir()) == ["machine.cfg", "toolhead.cfg"]
    main(command)
    said = capsys.readouterr()
    assert "cut off" not in said.err + said.out


def test_wrong_matings_as_text_and_document(
    wiring: Callable[..., Path], contract, capsys: pytest.CaptureFixture[str]
) -> None:
    """A machine without a dangerous plug ends with 0; without the ribbon's keys with 1, and the
    check says so in one sentence that changes no exit code."""
    assert main(["mating", "--demo"]) == 0
    assert "none of them destroys a thing" in " ".join(capsys.readouterr().out.split())
    bare = ("rows = 2\nkeyed = true\ncontact_a = 3.0", "rows = 2\nkeyed = false\ncontact_a = 3.0")
    folder = wiring(("boards/heron-2.toml", *bare), ("boards/lapwing-c.toml", *bare))
    file = str(folder / "marsh-230-c.toml")
    assert main(["mating", "-w", file, "--json"]) == 1
    document = json.loads(capsys.readouterr().out)
    contract("mating").validate(document)
    first = document["matings"][0]
    assert (first["connector"], first["prevented"], first["dangerous"]) == (
        "main.toolhead", False, True,
    )  # fmt: skip
    assert first["prevention"].startswith("a ")
    assert main(["check", configuration("clean"), "-w", file]) == 0
    said = " ".join(capsys.readouterr().out.split())
    assert "A plug can burn or destroy something: main.toolhead" in said
    assert "A plug can burn" not in _checked(capsys)


def test_a_better_order_of_pins_is_proposed_with_its_proof(
    contract, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["mating", "--demo", "--order", "tool.probe"]) == 1
    said = " ".join(capsys.readouterr().out.split())
    assert "all 120 different orders" in said
    assert "today: worst mating 601, all together 604" in said
    assert "proposed: worst mating 2, all together 6" in said
    assert main(["mating", "--demo", "--order", "tool.prob"]) == 2
    assert "did you mean tool.probe?" in capsys.readouterr().err
    assert main(["mating", "--demo", "--order", "tool.probe", "--json"]) == 1
    document = json.loads(capsys.readouterr().out)
    contract("order").validate(document)
    assert sorted(document["today"]["pins"]) == sorted(document["proposed"]["pins"])
    assert (document["today"]["worst"], document["proposed"]["worst"]) == (601, 2)


def _checked(capsys: pytest.CaptureFixture[str]) -> str:
    main(["check", configuration("clean"), *WIRING])
    return capsys.readouterr().out
