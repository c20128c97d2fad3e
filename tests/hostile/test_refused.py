"""What goes far beyond any machine is refused whole, by every command and by the batch desk."""

import json
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from pincheck import api
from pincheck.batch.assign import offer
from pincheck.batch.examine import Desk, Task, answer
from pincheck.edits.trial import attempt
from pincheck.maker.release import release
from pincheck.model import limits
from pincheck.model.problem import Problem, UnreadableError
from pincheck.model.setting import STYLES, StyleName
from pincheck.screen.engine import DiskEngine

MORE: dict[StyleName, tuple[str, str, str]] = {
    "define": ("machine.h", "#define K@ 1\n", "more than 15,000 directives"),
    "section": ("machine.cfg", "k@: 1\n", "more than 10,000 settings"),
    "gcode": ("config.g", "M106 P@\n", "more than 2,000 different things are set"),
}
"""Per style the demo's main file, lines that make it too much, and what is said then."""
COMMANDS = ("check", "claims", "edits", "figures")


@pytest.fixture(params=STYLES)
def too_much(request: pytest.FixtureRequest, tmp_path: Path) -> tuple[Path, str]:
    """The planted machine with far too much behind it, and what is to be said of it."""
    name, lines, said = MORE[request.param]
    folder = tmp_path / "machine"
    shutil.copytree(api.demo("planted") / request.param, folder)
    with (folder / name).open("a") as stream:
        stream.write("[extra]\n" if request.param == "section" else "")
        stream.writelines(lines.replace("@", str(at)) for at in range(16_000))
    return folder, said


@pytest.mark.parametrize("command", COMMANDS)
def test_nothing_of_it_is_judged(
    command: str, too_much: tuple[Path, str], run: Callable[..., Any]
) -> None:
    """The planted faults stand in front of the bound, and still nothing but the error is said."""
    folder, said = too_much
    ran = run(command, folder, "--demo")
    assert (ran.code, ran.out) == (2, "")
    assert f"{said}, far beyond any machine: nothing was checked; expected the conf" in ran.said
    assert ran.err.startswith(("  machine.", "  config.g:"))


def test_the_batch_desk_records_why(too_much: tuple[Path, str]) -> None:
    """The record has the reason and no finding."""
    folder, said = too_much
    desk = Desk(offer([api.demo("")]))
    record = answer(desk, Task(folder, "machine", "marsh-230-c.toml", b"")).record
    assert record["state"] == "could not check"
    assert f": {said}, far beyond any machine" in record["reason"]
    assert record["findings"] == []
    assert json.dumps(record)


def test_the_screen_gets_the_problem(too_much: tuple[Path, str]) -> None:
    """The screen's engine raises what the screen shows in place of a result."""
    folder, said = too_much
    with pytest.raises(UnreadableError, match=said):
        DiskEngine((folder,), api.demo("marsh-230-c.toml")).check(lambda _: None)


def test_far_too_many_heaters(tmp_path: Path, run: Callable[..., Any]) -> None:
    """Settings that matter are bounded by themselves: each is turned into claims and judged."""
    text = "[printer]\nkinematics: none\n" + "[extruder]\nheater_pin: PC8\n" * 500
    text += "[extruder]\nsensor_pin: PC4\n" * 490
    (tmp_path / "machine.cfg").write_text(text)
    assert run("check", tmp_path, "--demo").code == 1
    (tmp_path / "machine.cfg").write_text(text + "[extruder]\nheater_pin: PC8\n" * 20)
    ran = run("check", tmp_path, "--demo")
    assert (ran.code, ran.out) == (2, "")
    assert "more than 1,000 settings of heaters, fans, sensors, probes" in ran.said


def test_an_edit_that_makes_it_too_much_is_not_applied() -> None:
    """The edit is refused with the reason, the machine stays as it is."""
    machine = api.load_configuration(api.demo("planted") / "section")
    result = api.check(machine, api.load_wiring(api.demo("marsh-230-c.toml")))
    (first, *_) = (proposal for proposal in api.propose(result) if proposal.edits)

    def check(_: object) -> Any:
        raise UnreadableError((Problem("machine.cfg", "more than 10,000 settings"),))

    trial = attempt(machine, result, [first], check)
    assert (trial.machine, trial.applied) == (machine, ())
    assert trial.refused == ((first, "machine.cfg: more than 10,000 settings"),)


def test_a_reference_that_is_too_much_is_unreadable(tmp_path: Path) -> None:
    """The other references of a release are checked all the same."""
    folder = tmp_path / "release"
    shutil.copytree(api.demo(""), folder, ignore=shutil.ignore_patterns("clean", "planted"))
    file = folder / "reference/marsh-230-c/section/reference.cfg"
    file.write_text(file.read_text() + "k: 1\n" * limits.SETTINGS)
    cells = {(cell.assembly, cell.style): cell for cell in release(folder).cells}
    assert cells["marsh-230-c.toml", "section"].state == "unreadable"
    assert "more than 10,000 settings" in cells["marsh-230-c.toml", "section"].reason
    assert cells["marsh-230-c.toml", "define"].state == "agrees"


def test_claims_of_a_file_that_is_in_part_unreadable_exit_2(
    tmp_path: Path, run: Callable[..., Any]
) -> None:
    """What is claimed is listed, and the exit code says that it may not be all."""
    shutil.copytree(api.demo("clean") / "section", tmp_path / "machine")
    assert run("claims", tmp_path / "machine").code == 0
    (tmp_path / "machine" / "toolhead.cfg").write_text("<!DOCTYPE html>\n<html></html>\n")
    ran = run("claims", tmp_path / "machine")
    assert ran.code == 2
    assert "toolhead.cfg" in ran.err
    assert "extruder" in ran.out or "bed.heater" in ran.out
