"""One slip of the wiring is told as one thing, and only where the check bears it out."""

from pathlib import Path

import pytest

from pincheck import api
from pincheck.cli.main import main
from pincheck.model.finding import Result
from pincheck.model.limits import SLIP_TRIALS
from pincheck.reports import json, sentences, text
from pincheck.slip import find_slip

STRAIGHT = 'wiring = "straight"'
TURNED = [[n, 21 - n] for n in range(1, 21)]
ROWS = [[n, n + 1 if n % 2 else n - 1] for n in range(1, 21)]
COLUMN = [[n, n + 2] for n in range(1, 19)]
BEYOND = [[n, n + 1] for n in range(1, 21, 2)]
CROSSED = [[{4: 14, 14: 4}.get(n, n), n] for n in range(1, 21)]


def told(wiring, configuration: str, *replaced: tuple[str, str, str]) -> Result:
    """Return the demo machine's result with texts of its wiring replaced, the slip sought."""
    file = wiring(*replaced) / "marsh-230-c.toml"
    machine = api.load_configuration(api.demo(configuration))
    return api.explain(api.check(machine, api.load_wiring(file)), file)


def ribbon(pairs: object) -> tuple[str, str, str]:
    return "marsh-230-c.toml", STRAIGHT, f"wiring = {pairs}"


@pytest.mark.parametrize("style", ["define", "section", "gcode"])
def test_a_mirrored_ribbon_is_one_thing(wiring, style):
    """Four rails on four others, all told beneath the one cause."""
    result = told(wiring, f"clean/{style}", ribbon('"mirrored"'))
    assert sentences.slip(result) == (
        "Look at this first: the cable from main.toolhead to tool.link looks mirrored: straight "
        "removes all 4 findings of pins and copper (1, 2, 3, 4)."
    )
    assert result.slip.at.line == 9
    lines = list(text.text(result))
    first = next(n for n, line in enumerate(lines) if line.startswith("Look at this first"))
    assert first < next(n for n, line in enumerate(lines) if line.startswith("1. "))


@pytest.mark.parametrize(
    ("pairs", "looks", "mend"),
    [
        (TURNED, "looks mirrored", "straight"),
        (ROWS, "looks mirrored, rows exchanged", "straight"),
        (COLUMN, "looks shifted by one column", "straight"),
        (BEYOND, "looks shifted by one row", "straight"),
        (CROSSED, "wires of pins 4 and 14 exchanged", "exchanging pins 4 and 14 of main.toolhead"),
    ],
)
def test_each_slip_of_a_ribbon_has_its_name(wiring, pairs, looks, mend):
    """A ribbon pin by pin is called what it looks like, and its mend takes every finding away."""
    slip = told(wiring, "clean/section", ribbon(pairs)).slip
    assert slip.message.endswith(looks)
    assert slip.mend == mend
    assert len(slip.removes) == slip.among


def test_what_the_slip_hid_is_counted(wiring):
    """The configuration's own faults are no reason to doubt the ribbon; they show when it is
    mended."""
    slip = told(wiring, "planted/section", ribbon('"mirrored"')).slip
    assert slip.mend == "straight"
    assert (len(slip.removes), slip.among) == (4, 4)
    assert slip.hidden > 0


def test_another_revision_of_a_board_that_lies_there(wiring):
    """Two signals moved between revisions of a board: the other file takes both findings away."""
    folder = wiring()
    board = (folder / "boards/lapwing-c.toml").read_text()
    moved = board.replace('"FAN_HOTEND", ""', '"", "FAN_PART"').replace(
        '"FAN_PART", "5V"', '"FAN_HOTEND", "5V"'
    )
    moved = moved.replace('"SERVO", "PROBE",            # 13', '"PROBE", "SERVO",            # 13')
    (folder / "boards/lapwing-d.toml").write_text(moved.replace('revision = "C"', 'revision = "D"'))
    file = folder / "marsh-230-c.toml"
    file.write_text(file.read_text().replace("lapwing-c.toml", "lapwing-d.toml"))
    machine = api.load_configuration(api.demo("clean/section"))
    result = api.check(machine, api.load_wiring(file))
    slip = find_slip(result, file)
    assert slip is not None
    assert slip.message == "board tool looks like Lapwing C, not Lapwing D"
    assert slip.mend == "boards/lapwing-c.toml"
    # Without the folder the wires of the cable are what is left to suspect.
    assert "board" not in getattr(find_slip(result), "message", "")


@pytest.mark.parametrize("style", ["define", "section", "gcode"])
def test_faults_of_the_configuration_are_no_slip_of_the_wiring(wiring, style):
    """The planted machine has a dozen faults and a right ribbon."""
    result = told(wiring, f"planted/{style}")
    assert result.slip is None
    assert sentences.slip(result) == ""
    assert json.record(result)["slip"] is None


def test_a_change_that_leaves_or_brings_a_short_is_not_believed(wiring):
    """Mirrored, onto a board whose ground pin is a 5 V one: straight joins 5 V and ground."""
    board = "boards/lapwing-c.toml", '"GND", "GND",                # 11 12', '"GND", "5V",'
    assert told(wiring, "clean/section", ribbon('"mirrored"'), board).slip is None


def test_the_trials_are_bounded(wiring, monkeypatch):
    """However many ways there are to be wrong, a report waits for a known number of checks."""
    from pincheck import slip

    tried = []
    monkeypatch.setattr(slip, "trace_of", lambda it: tried.append(it) or api.trace(it))
    found = told(wiring, "planted/section", ribbon(ROWS))
    assert found.slip
    assert 0 < len(tried) <= SLIP_TRIALS
    monkeypatch.setattr(slip.limits, "WIRES_AT_A_CHECK", 10)
    assert find_slip(found) is None


def test_the_document_and_the_command_say_it(wiring, contract, capsys):
    """JSON names the findings by place; the command's text begins with the cause."""
    result = told(wiring, "clean/section", ribbon('"mirrored"'))
    record = json.record(result)
    contract("result").validate(record)
    assert record["slip"]["removes"] == [0, 1, 2, 3]
    assert record["slip"]["place"]["line"] == 9
    file = Path(str(api.demo("clean/section")))
    folder = result.assembly.sources[0].name
    assert folder == "marsh-230-c.toml"
    assert main(["check", str(file), "--demo"]) == 0
    assert "Look at this first" not in capsys.readouterr().out
