"""The release check: every cell of the matrix, and whatever could be wrong in the folder."""

import json
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import get_args

import pytest
from jsonschema import ValidationError

from pincheck import api
from pincheck.cli.main import main
from pincheck.maker import release_json
from pincheck.maker.release import CellState, Release, release
from pincheck.model.problem import UnreadableError
from pincheck.model.setting import STYLES

Wiring = Callable[..., Path]


@pytest.fixture
def shipped(wiring: Wiring) -> Path:
    """A release folder in which all is well: two revisions in three styles."""
    return _shipped(wiring())


def _shipped(folder: Path) -> Path:
    (folder / "marsh-230-curlew.toml").unlink()
    shutil.copytree(api.demo("reference"), folder / "reference")
    return folder


def _states(found: Release) -> dict[tuple[str, str], str]:
    return {(cell.assembly, cell.style): cell.state for cell in found.cells}


@pytest.fixture
def code(monkeypatch: pytest.MonkeyPatch) -> Callable[[Release], int]:
    """What the command ends with for a release that was checked already."""

    def ends(found: Release) -> int:
        monkeypatch.setattr("pincheck.maker.release.release", lambda *_: found)
        return main(["release"])

    return ends


def test_the_demo_folder_is_a_release_that_agrees(
    wiring: Wiring, code: Callable[[Release], int], capsys: pytest.CaptureFixture[str]
) -> None:
    folder = wiring()
    shutil.copytree(api.demo("reference"), folder / "reference")
    found = release(folder)
    states = _states(found)
    assert states.pop(("marsh-230-curlew.toml", "define")) == "not possible"
    assert states.pop(("marsh-230-curlew.toml", "gcode")) == "not possible"
    assert set(states.values()) == {"agrees"}
    assert len(states) == 7
    across = {(a.assembly, a.style, a.on): a for a in found.across}
    assert across["marsh-230-b.toml", "section", "marsh-230-curlew.toml"].findings > 3
    assert code(found) == 0
    out = capsys.readouterr().out
    assert out.rstrip().endswith("The release agrees.")
    assert max(map(len, out.splitlines())) <= 80


def test_a_reference_that_drifted_fails_its_cell_only(
    shipped: Path, code: Callable[[Release], int], capsys: pytest.CaptureFixture[str]
) -> None:
    file = shipped / "reference/marsh-230-c/section/reference.cfg"
    file.write_text(file.read_text().replace("pin: PB8", "pin: PB7"))
    found = release(shipped)
    states = _states(found)
    assert states["marsh-230-c.toml", "section"] == "findings"
    assert states["marsh-230-c.toml", "define"] == "agrees"
    assert code(found) == 1
    assert "pin-differs" in capsys.readouterr().out


def test_a_reference_without_a_limit_agrees_and_says_what_was_not_checked(
    shipped: Path, code: Callable[[Release], int], capsys: pytest.CaptureFixture[str]
) -> None:
    file = shipped / "reference/marsh-230-c/section/reference.cfg"
    lines = file.read_text().splitlines(keepends=True)
    file.write_text("".join(line for line in lines if not line.startswith("max_temp")))
    found = release(shipped)
    assert _states(found)["marsh-230-c.toml", "section"] == "agrees"
    assert code(found) == 0
    out = capsys.readouterr().out
    assert (
        "\nmarsh-230-c.toml, section style: agrees, not checked:\n"
        "  ? hotend.heater max_c, bed.heater max_c: the files set no highest temperature\n"
    ) in out
    assert "marsh-230-b.toml, section style: agrees" not in out


def test_a_board_that_changed_under_its_references_fails(wiring: Wiring) -> None:
    folder = wiring(("boards/heron-2.toml", 'chip_pin = "PB8"', 'chip_pin = "PB13"'))
    (folder / "marsh-230-b.toml").unlink()
    shutil.copytree(api.demo("reference"), folder / "reference")
    states = _states(release(folder))
    assert {states["marsh-230-c.toml", style] for style in ("define", "section", "gcode")} == {
        "findings"
    }
    assert states["marsh-230-curlew.toml", "section"] == "agrees"


def test_a_missing_reference_is_a_gap(shipped: Path, code: Callable[[Release], int]) -> None:
    shutil.rmtree(shipped / "reference/marsh-230-b/gcode")
    found = release(shipped)
    assert _states(found)["marsh-230-b.toml", "gcode"] == "missing"
    assert code(found) == 1


@pytest.mark.parametrize(
    ("file", "text"),
    [
        ("boards/lapwing-b.toml", "[board]\nname = 3\n"),
        ("reference/marsh-230-b/section/reference.cfg", "<!doctype html><html></html>"),
        ("reference/marsh-230-b/gcode/reference.g", ""),
        ("reference/marsh-230-b/gcode/reference.g", "[printer]\n[fan]\npin: PB7\n"),
    ],
)
def test_what_cannot_be_read_is_told_apart(shipped: Path, file: str, text: str) -> None:
    (shipped / "marsh-230-c.toml").unlink()
    (shipped / file).write_text(text)
    assert main(["release", str(shipped)]) == 2


def test_a_draft_cannot_go_out(wiring: Wiring, code: Callable[[Release], int]) -> None:
    folder = wiring(
        ("marsh-230-c.toml", 'part = "block-marsh"', 'part = "block-lined"\nunverified = true')
    )
    found = release(_shipped(folder))
    assert _states(found)["marsh-230-b.toml", "define"] == "agrees"
    assert _states(found)["marsh-230-c.toml", "define"] == "draft"
    assert code(found) == 1


def test_copper_that_leaves_no_style_a_reference_fails(
    wiring: Wiring, code: Callable[[Release], int], capsys: pytest.CaptureFixture[str], contract
) -> None:
    """A plug whose contacts are too weak is wrong whatever a configuration says."""
    folder = _shipped(wiring(("boards/lapwing-c.toml", "contact_a = 3.0", "contact_a = 0.3")))
    shutil.rmtree(folder / "reference/marsh-230-c")
    found = release(folder)
    states = {_states(found)["marsh-230-c.toml", style] for style in STYLES}
    assert states == {"in no style"}
    assert code(found) == 1
    out = capsys.readouterr().out
    assert "marsh-230-c.toml, section style: in no style: " in out
    assert out.rstrip().endswith("The release fails: 3 troubles.")
    document = release_json.record(found)
    assert isinstance(document, dict)
    assert (document["agrees"], document["troubles"]) == (False, 3)
    contract("release").validate(document)


def test_an_empty_folder_is_no_release(tmp_path: Path) -> None:
    with pytest.raises(UnreadableError, match="no assembly is in this folder"):
        release(tmp_path)
    assert main(["release", str(tmp_path)]) == 2


def test_an_unused_board_is_named(
    shipped: Path, code: Callable[[Release], int], capsys: pytest.CaptureFixture[str]
) -> None:
    (shipped / "marsh-230-b.toml").unlink()
    (shipped / "boards/curlew-1.toml").unlink()
    found = release(shipped)
    assert found.unused == ("boards/lapwing-b.toml",)
    code(found)
    assert "boards/lapwing-b.toml: no assembly uses this board." in capsys.readouterr().out


def test_the_document_keeps_to_the_schema(
    shipped: Path, capsys: pytest.CaptureFixture[str], contract
) -> None:
    """A pipeline reads each cell with its findings, and every reference on the other boards."""
    file = shipped / "reference/marsh-230-c/section/reference.cfg"
    file.write_text(file.read_text().replace("pin: PB8", "pin: PB7"))
    shutil.rmtree(shipped / "reference/marsh-230-b/gcode")
    (shipped / "boards/broken.toml").write_text("[board]\nname = 3\n")
    assert main(["release", str(shipped), "--json"]) == 2
    document = json.loads(capsys.readouterr().out)
    valid = contract("release")
    schema = valid.schema
    properties = schema["properties"]
    assert properties["schema_version"]["const"] == release_json.SCHEMA_VERSION
    cell_schema = properties["cells"]["items"]["properties"]
    assert tuple(cell_schema["state"]["enum"]) == get_args(CellState)
    valid.validate(document)
    with pytest.raises(ValidationError):
        valid.validate({**document, "colour": "red"})
    assert (document["agrees"], document["troubles"]) == (False, 3)
    cells = {(cell["assembly"], cell["style"]): cell for cell in document["cells"]}
    (finding,) = cells["marsh-230-c.toml", "section"]["findings"]
    assert "pin: PB7" in file.read_text().splitlines()[finding["place"]["line"] - 1]
    assert cells["marsh-230-b.toml", "gcode"]["state"] == "missing"
    assert [problem["file"] for problem in document["problems"]] == ["broken.toml"]
    to_c = next(
        it
        for it in document["across"]
        if (it["assembly"], it["style"], it["on"])
        == ("marsh-230-b.toml", "section", "marsh-230-c.toml")
    )
    assert (to_c["findings"], to_c["fits"]) == (1, False)


def test_a_long_name_keeps_the_matrix_in_line(
    shipped: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    long = shipped / "marsh-230-with-the-second-breakout-of-all.toml"
    (shipped / "marsh-230-c.toml").rename(long)
    main(["release", str(shipped)])
    lines = capsys.readouterr().out.splitlines()
    row = lines[lines.index(long.name) + 1]
    assert row.index("missing") == lines[0].index("define")
