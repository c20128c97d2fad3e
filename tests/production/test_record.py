"""The record of units: only grows, survives a kill, tells what was cut off."""

import csv
import io
import json
import os
import signal
import subprocess
import sys

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pincheck import api
from pincheck.cli.main import main
from pincheck.production import record, yields
from pincheck.production.judge import JudgedUnit

BOARD = str(api.demo("boards/curlew-1.toml"))
AT = "2026-01-02T03:04:05+00:00"


def unit(serial, state="passed", failed=()):
    """Return a unit that was judged."""
    return JudgedUnit(serial, state, {"a": 0.2, "b": float("inf")}, failed, ())


def add(file, *units, retest=False):
    """Record units."""
    return record.append(file, "Bittern 1", "0123", units, AT, retest=retest)


def test_a_unit_is_recorded_once_and_again_only_as_a_retest(tmp_path):
    """Nothing of a batch is recorded when one of it may not be; attempts are counted."""
    file = tmp_path / "units.jsonl"
    add(file, unit("1", "failed", ("a",)))
    before = file.read_bytes()
    with pytest.raises(record.TestedBeforeError, match="1 was recorded as failed"):
        add(file, unit("2"), unit("1"))
    with pytest.raises(record.TestedBeforeError, match="2 was never recorded"):
        add(file, unit("2"), retest=True)
    assert file.read_bytes() == before
    add(file, unit("1"), retest=True)
    assert file.read_bytes().startswith(before)
    assert [(it.attempt, it.state) for it in record.load(file).of("1")] == [
        (1, "failed"),
        (2, "passed"),
    ]


@given(st.data())
def test_a_line_cut_off_anywhere_costs_its_own_unit_and_no_other(tmp_path_factory, data):
    """Whatever a kill or a loss of power leaves of the last line, the next one stands below it."""
    file = tmp_path_factory.mktemp("r") / "units.jsonl"
    for serial in "123":
        add(file, unit(serial))
    whole = file.read_bytes()
    start = whole[:-1].rfind(b"\n") + 1
    length = data.draw(st.integers(start + 1, len(whole) - 2))
    file.write_bytes(whole[:length])
    before, _ = add(file, unit("4"))
    assert before.torn == (3,)
    found = record.load(file)
    assert ([it.serial for it in found.units], found.torn) == (["1", "2", "4"], (3,))
    add(file, unit("3"))  # it was never recorded: no retest
    assert file.read_bytes().startswith(whole[:length])


def test_a_changed_line_is_no_record_and_another_file_is_left_alone(tmp_path):
    """One digit of a reading; a file of something else."""
    file = tmp_path / "units.jsonl"
    add(file, unit("1"))
    add(file, unit("2"))
    file.write_bytes(file.read_bytes().replace(b"0.2", b"0.3", 1))
    found = record.load(file)
    assert ([it.serial for it in found.units], found.torn) == (["2"], (1,))
    other = tmp_path / "notes.txt"
    other.write_text("milk\n")
    with pytest.raises(record.WriteRefusedError, match="no record of units"):
        add(other, unit("1"))
    assert other.read_text() == "milk\n"


WRITER = """
import sys
from pathlib import Path
from pincheck.production.judge import JudgedUnit
from pincheck.production.record import append
first = int(sys.argv[2])
for number in range(first, first + 1000):
    unit = JudgedUnit(f"L-{number}", "passed", {f"t{n}": 0.5 for n in range(40)}, (), ())
    append(Path(sys.argv[1]), "Bittern 1", "0123", [unit], "2026", retest=False)
    print(unit.serial, flush=True)
"""


def test_nothing_that_was_told_as_recorded_is_lost_by_kills(tmp_path):
    """Writers killed while they write: what they told stands there, once, and so does the rest."""
    file, told = tmp_path / "units.jsonl", []
    for turn in range(4):
        command = [sys.executable, "-c", WRITER, str(file), str(turn * 1000)]
        with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as writer:
            told += [writer.stdout.readline().strip() for _ in range(5 + turn)]
            os.kill(writer.pid, signal.SIGKILL)
            told += writer.stdout.read().split()
    serials = [it.serial for it in record.load(file).units]
    assert set(told) <= set(serials)
    assert len(set(serials)) == len(serials)


def test_yields_and_export_tell_first_and_last_tests(tmp_path, contract):
    """Three units, one mended; no cell of the export is a formula."""
    file = tmp_path / "units.jsonl"
    add(file, unit("1"), unit("=2", "failed", ("b", "a")), unit("3", "failed", ("a",)))
    add(file, unit("3"), retest=True)
    (found,) = yields.yields(record.load(file))
    assert (found.units, found.first_pass, found.passed) == (3, 1, 2)
    assert found.failures == (("a", 2), ("b", 1))
    contract("production-yields").validate(yields.record_of(record.load(file)))
    table = list(csv.DictReader(io.StringIO("".join(yields.as_csv(record.load(file))))))
    assert [(row["serial"], row["state"], row["b"]) for row in table] == [
        ("1", "passed", "open"),
        ("'=2", "failed", "open"),
        ("3", "failed", "open"),
        ("3", "passed", "open"),
    ]
    assert ">a</text>" in yields.as_svg(record.load(file))


def test_the_command_takes_a_testers_table_and_prints_a_label(tmp_path, capsys):
    """From the plan's own CSV; a wrong name of a test is told with its place, nothing recorded."""
    main(["production", BOARD, "--plan", "csv"])
    rows = list(csv.DictReader(io.StringIO(capsys.readouterr().out)))
    lines = ["serial,test,reading"]
    for row in rows:
        value = {"look": "yes", "V": row["low"], "ohm": row["high"] or "open"}[
            row["unit"] or "look"
        ]
        lines.append(f"C-7,{row['id']},{value}")
    readings, units = tmp_path / "readings.csv", tmp_path / "units.jsonl"
    readings.write_text("\n".join(lines).replace("look power", "look powr"))
    words = ["production", BOARD, "--record", str(units), "--readings", str(readings)]
    assert main(words) == 2
    assert "readings.csv:2:5: the plan has no test 'look powr'" in capsys.readouterr().err
    assert not units.exists()
    readings.write_text("\n".join(lines))
    assert main(words) == 0
    label = capsys.readouterr().out.splitlines()[-1]
    assert label.startswith("label: Curlew 1 | C-7 | passed ")
    assert main(words) == 2
    readings.write_text("\n".join(lines[:-1]))
    assert main([*words, "--retest"]) == 1
    assert "INCOMPLETE, attempt 2" in capsys.readouterr().out


def test_readings_typed_line_by_line_are_asked_again_until_they_are_readings(
    tmp_path, capsys, monkeypatch
):
    """Where the input ends early the unit is recorded as not read whole."""
    units = tmp_path / "units.jsonl"
    monkeypatch.setattr(sys, "stdin", io.StringIO("perhaps\nyes\nno\n"))
    assert main(["production", BOARD, "--record", str(units), "--unit", "C-8"]) == 1
    said = capsys.readouterr()
    assert "yes or no is wanted" in said.err
    assert "C-8: FAILED" in said.out
    (found,) = record.load(units).units
    assert list(found.readings.values()) == [1.0, 0.0]
    assert json.loads(units.read_bytes())["serial"] == "C-8"
