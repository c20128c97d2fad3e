"""The screen on the demo's planted machine, with the real engine, in every style."""

import shutil

import pytest

from pincheck import api
from pincheck.model.finding import Severity
from pincheck.screen.engine import DiskEngine


@pytest.fixture(params=["define", "section", "gcode"])
def planted(request, tmp_path):
    shutil.copytree(api.demo("planted") / request.param, tmp_path / "planted")
    return DiskEngine((tmp_path / "planted",), api.demo("marsh-230-c.toml"))


def contents(folder):
    return {file.name: file.read_bytes() for file in sorted(folder.iterdir())}


def test_from_every_finding_and_pin_to_safe_edits_and_back(drive, planted):
    folder = planted.configuration[0]
    before = contents(folder)

    async def then(bench):
        session = bench.app.session
        dangers = session.result.count(Severity.DANGER)
        assert dangers > 0
        assert f"Do not power on: {dangers} dangers" in bench.look()
        assert "What the firmware says" in await bench.press("enter")
        for finding in session.result.findings:
            assert f"{finding.role} " in bench.look()
            await bench.press("n")
        await bench.press("escape", "b")
        for _ in session.result.findings:
            assert "marked:" in await bench.press("n")
        assert "steps done" in await bench.press("escape", "w")
        await bench.press("escape", "e", "a", "d", "y")
        assert contents(folder) != before
        assert session.result.count(Severity.DANGER) < dangers
        await bench.press("u")
        assert contents(folder) == before
        assert session.result.count(Severity.DANGER) == dangers

    drive(over=planted, then=then)
