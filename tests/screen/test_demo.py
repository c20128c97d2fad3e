"""The screen on the demo's planted machine, with the real engine."""

import shutil

import pytest

from pincheck import api
from pincheck.model.finding import Severity
from pincheck.reports.glyphs import PLAIN
from pincheck.screen import pins
from pincheck.screen.engine import DiskEngine
from pincheck.screen.finding import finding_page


@pytest.fixture
def planted(request, tmp_path):
    style = getattr(request, "param", "section")
    shutil.copytree(api.demo("planted") / style, tmp_path / "planted")
    return DiskEngine((tmp_path / "planted",), api.demo("marsh-230-c.toml"))


def contents(folder):
    return {file.name: file.read_bytes() for file in sorted(folder.iterdir())}


@pytest.mark.parametrize("planted", ["define", "section", "gcode"], indirect=True)
def test_every_finding_of_every_style_has_its_page_and_its_pins(planted):
    checked = planted.check(lambda _: None)
    result, proposals = checked.result, {id(p.finding): p for p in checked.proposals}
    for finding in result.findings:
        lines = finding_page(result, finding, proposals.get(id(finding)), 60, PLAIN)
        rows = ["".join(run.text for run in line) for line in lines]
        assert finding.role in rows[0]
        assert max(map(len, rows)) <= 60
        assert " What the firmware says" in rows
        assert pins.of_finding(result, finding) or not result.trace.find(finding.role)


def test_from_a_finding_and_its_pins_to_safe_edits_and_back(drive, planted):
    folder = planted.configuration[0]
    before = contents(folder)

    async def then(bench):
        session = bench.app.session
        dangers = session.result.count(Severity.DANGER)
        assert dangers > 0
        assert f"Do not power on: {dangers} dangers" in bench.look()
        assert "What the firmware says" in await bench.press("enter")
        assert f"{session.result.findings[1].role} " in await bench.press("n")
        assert "marked:" in await bench.press("escape", "b", "n")
        assert "steps done" in await bench.press("escape", "w")
        await bench.press("escape", "e", "a", "d", "y")
        assert contents(folder) != before
        assert session.result.count(Severity.DANGER) < dangers
        await bench.press("u")
        assert contents(folder) == before
        assert session.result.count(Severity.DANGER) == dangers

    drive(over=planted, then=then)
