"""The text report: 80 columns, no colour but where asked, nothing unprintable, cautions once."""

import re
from pathlib import Path

import pytest

from pincheck import api
from pincheck.model.finding import Result
from pincheck.reports.sentences import CAUTIONS, headline
from pincheck.reports.text import Ink, problem_lines, text


def planted(style: str) -> Result:
    assembly = api.load_wiring(api.demo("marsh-230-c.toml"))
    return api.check(api.load_configuration(api.demo("planted") / style), assembly)


@pytest.mark.parametrize("style", ["define", "section", "gcode"])
def test_every_line_fits_80_columns_and_holds_no_escape(style: str) -> None:
    result = planted(style)
    lines = list(text(result, api.propose(result)))
    assert max(map(len, lines)) <= 80
    assert not any("\x1b" in line for line in lines)
    assert lines.count("") > len(result.findings)


def test_colour_adds_escapes_and_no_words() -> None:
    result = planted("section")
    plain = list(text(result))
    painted = [re.sub(r"\x1b\[[0-9;]*m", "", line) for line in text(result, ink=Ink(colour=True))]
    assert painted == plain


def test_the_answer_comes_first_and_the_cautions_once_at_the_end() -> None:
    result = planted("section")
    lines = list(text(result))
    assert headline(result).startswith("Do not power on: ")
    assert lines[2] == headline(result)
    whole = " ".join(lines)
    assert whole.count(CAUTIONS[0]) == 1
    assert whole.endswith(CAUTIONS[0])


def test_every_finding_shows_both_ends_and_its_number() -> None:
    result = planted("section")
    lines = list(text(result))
    for number, finding in enumerate(result.findings, 1):
        start = next(n for n, line in enumerate(lines) if line.startswith(f"{number}. "))
        assert finding.severity.word in lines[start]
        block = lines[start : lines.index("", start)]
        if finding.claims:
            assert any(line.startswith("   firmware") for line in block)
        if finding.facts:
            assert any(line.startswith("   wiring") for line in block)


def test_an_escape_in_a_file_reaches_no_report(tmp_path: Path) -> None:
    evil = "[printer]\n[fan]\npin: PB7 # \x1b[2J\u202e evil\n[extruder]\nheater_pin: PB7\n"
    (tmp_path / "m.cfg").write_text(evil)
    assembly = api.load_wiring(api.demo("marsh-230-c.toml"))
    whole = "\n".join(text(api.check(api.load_configuration(tmp_path), assembly)))
    assert "\x1b" not in whole
    assert "\u202e" not in whole
    assert "\\x1b[2J\\u202e evil" in whole


def test_a_problem_shows_its_line_with_a_mark(tmp_path: Path) -> None:
    (tmp_path / "m.cfg").write_bytes(b"[printer]\n[fan]\npin: PB7 # 5 \xb0C\n")
    machine = api.load_configuration(tmp_path)
    lines = list(problem_lines(machine.problems[0]))
    assert lines[-2] == "    pin: PB7 # 5 °C"
    assert lines[-1] == " " * len("    pin: PB7 # 5 ") + "^"


def _with_include(folder: Path, name: str) -> list[str]:
    """Return the report of the clean machine that asks for one more file at its end."""
    for file in (api.demo("clean") / "section").iterdir():
        more = f"\n[include {name}]\n" if file.name == "machine.cfg" else ""
        (folder / file.name).write_text(file.read_text(encoding="utf-8") + more)
    assembly = api.load_wiring(api.demo("marsh-230-c.toml"))
    return list(text(api.check(api.load_configuration(folder), assembly)))


def test_what_agrees_as_far_as_the_files_go_is_told_from_what_nobody_looked_at(tmp_path: Path):
    lines = _with_include(tmp_path, "later.cfg")
    row = next(line for line in lines if line.startswith("hotend.heater"))
    assert row.split()[1:3] == ["so", "far"]
    assert "so far = agrees, if a file that was not sent says nothing else" in lines
    assert re.search(r"not checked \(\d+ of them agree so far\)", "\n".join(lines))
    whole = " ".join(" ".join(lines).split())
    assert "agrees so far; later.cfg was not sent and could override it" in whole
    line = (tmp_path / "machine.cfg").read_text().count("\n")
    assert f"Asked for but not sent: machine.cfg:{line}: later.cfg " in whole


def test_a_file_that_nothing_asks_for_is_named_beside_the_misspelt_one(tmp_path: Path):
    (tmp_path / "latter.cfg").write_text("[fan]\npin: PB9\n")
    whole = " ".join(" ".join(_with_include(tmp_path, "later.cfg")).split())
    assert "later.cfg; latter.cfg is there and nothing asks for it: is that meant?" in whole


def test_a_file_set_aside_for_its_name_is_named(tmp_path: Path):
    lines = _with_include(tmp_path, "macros.cfg")
    assert "so far" not in "\n".join(lines)
    whole = " ".join(" ".join(lines).split())
    assert "Not sent, and by name not about the wiring: macros.cfg." in whole
    assert "Asked for but not sent" not in whole
