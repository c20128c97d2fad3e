"""The release check: every cell of the matrix, and whatever could be wrong in the folder."""

import json
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import get_args

import pytest
from jsonschema import ValidationError

from pincheck import api
from pincheck.analysis.stamp import digest_of_lines, stamp_of
from pincheck.cli.main import main
from pincheck.maker import release_json
from pincheck.maker.release import Release, release
from pincheck.maker.release_cell import CellState
from pincheck.model.problem import UnreadableError
from pincheck.model.setting import STYLES

Wiring = Callable[..., Path]


@pytest.fixture
def shipped(wiring: Wiring) -> Path:
    """A release folder in which all is well: two revisions in three styles."""
    return _shipped(wiring())


def _shipped(folder: Path) -> Path:
    (folder / "marsh-230-curlew.toml").unlink()
    (folder / "release.toml").unlink()
    shutil.copytree(api.demo("reference"), folder / "reference")
    return folder


def _states(found: Release) -> dict[tuple[str, str], str]:
    return {(cell.assembly, cell.style): cell.state for cell in found.cells}


@pytest.fixture
def code(monkeypatch: pytest.MonkeyPatch) -> Callable[[Release], int]:
    """What the command ends with for a release that was checked already."""

    def ends(found: Release) -> int:
        monkeypatch.setattr("pincheck.maker.release.release", lambda *_, **__: found)
        return main(["release"])

    return ends


def test_the_demo_folder_is_a_release_that_agrees(
    wiring: Wiring, code: Callable[[Release], int], capsys: pytest.CaptureFixture[str]
) -> None:
    folder = wiring()
    shutil.copytree(api.demo("reference"), folder / "reference")
    found = release(folder)
    states = _states(found)
    assert [(c.assembly, c.style) for c in found.cells if c.consent] == [
        ("marsh-230-curlew.toml", "define"),
        ("marsh-230-curlew.toml", "gcode"),
    ]
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


def test_a_style_that_users_would_lose_fails_until_it_is_let_go(
    wiring: Wiring, code: Callable[[Release], int], capsys: pytest.CaptureFixture[str]
) -> None:
    folder = wiring()
    (folder / "release.toml").unlink()
    shutil.copytree(api.demo("reference"), folder / "reference")
    assert code(release(folder)) == 1
    assert "(has it: marsh-230-b.toml, marsh-230-c.toml)" in " ".join(
        capsys.readouterr().out.split()
    )


DRIFTS: dict[str, tuple[str, str, str]] = {
    # a remark of the wiring says nothing, a figure does though no line follows from it
    "agrees": ("boards/lapwing-c.toml", "[board]", "# looked at again\n[board]"),
    "stale": ("boards/lapwing-c.toml", "contact_a = 3.0", "contact_a = 3.1"),
    "edited": ("reference/marsh-230-c/section/reference.cfg", "max_temp: 255 ", "max_temp: 254 "),
    "unstamped": ("reference/marsh-230-c/section/reference.cfg", "# Stamp of", "# Copy of"),
}


@pytest.mark.parametrize("state", DRIFTS)
def test_what_became_of_a_reference_is_told_apart(shipped: Path, state: str) -> None:
    name, old, new = DRIFTS[state]
    text = (shipped / name).read_text()
    assert old in text
    (shipped / name).write_text(text.replace(old, new))
    found = release(shipped)
    assert _states(found)["marsh-230-c.toml", "section"] == state
    assert (found.troubles == 0) is (state == "agrees")


def test_a_remark_is_a_hand_edit_with_its_line(
    shipped: Path, code: Callable[[Release], int], capsys: pytest.CaptureFixture[str]
) -> None:
    file = shipped / "reference/marsh-230-c/gcode/reference.g"
    lines = file.read_text().splitlines()
    lines[20] = "; asked the supplier"
    file.write_text("\n".join(lines) + "\n")
    assert code(release(shipped)) == 1
    assert "first at line 21: '; asked the supplier'" in " ".join(capsys.readouterr().out.split())


def test_what_another_version_wrote_goes_out_while_it_agrees(shipped: Path) -> None:
    """The stamp fits its lines and the wiring; only this version would write other lines."""
    file = shipped / "reference/marsh-230-c/section/reference.cfg"
    text = file.read_text().replace("max_temp: 255 ", "max_temp: 250 ")
    made = stamp_of(text)
    assert made
    file.write_text(text.replace(made.lines, digest_of_lines(text)))
    found = release(shipped)
    assert _states(found)["marsh-230-c.toml", "section"] == "other lines"
    assert not found.troubles


def test_what_nobody_judged_goes_out_only_when_it_is_let_go(shipped: Path) -> None:
    """Lines of another version that set no limit: nothing is found, and nothing was shown."""
    file = shipped / "reference/marsh-230-c/section/reference.cfg"
    kept = [line for line in file.read_text().split("\n") if not line.startswith("max_temp")]
    text = "\n".join(kept)
    made = stamp_of(text)
    assert made
    file.write_text(text.replace(made.lines, digest_of_lines(text)))
    found = release(shipped)
    cells = {(it.assembly, it.style): it for it in found.cells}
    cell = cells["marsh-230-c.toml", "section"]
    assert (cell.state, cell.fails) == ("not judged", True)
    assert "hotend.heater: the files set no highest temperature" in cell.reason
    _consent(
        shipped, assembly="marsh-230-c.toml", what="not judged", style="section", because="old"
    )
    assert not release(shipped).troubles


def test_half_a_reference_and_one_more_file_are_edits(shipped: Path) -> None:
    (shipped / "reference/marsh-230-c/define/machine_adv.h").unlink()
    (shipped / "reference/marsh-230-b/section/mine.cfg").write_text("[fan]\npin: PB7\n")
    cells = {(it.assembly, it.style): it for it in release(shipped).cells}
    assert "machine_adv.h is missing" in cells["marsh-230-c.toml", "define"].reason
    assert "mine.cfg was put beside it" in cells["marsh-230-b.toml", "section"].reason
    assert cells["marsh-230-b.toml", "section"].fails
    assert cells["marsh-230-c.toml", "define"].fails


def _consent(folder: Path, **keys: str) -> None:
    lines = [f'{key} = "{text}"' for key, text in keys.items()]
    (folder / "release.toml").write_text("\n".join(["# of revision C", "[[consent]]", *lines]))


def test_a_wiring_finding_fails_until_it_is_let_go_by_name(
    wiring: Wiring, code: Callable[[Release], int], capsys: pytest.CaptureFixture[str], contract
) -> None:
    """Both part fans draw 0.6 A together; the switch of the first alone is made too weak."""
    weak = '[nets.FAN2]\nchip_pin = "PB8"\nswitch = { side = "low", max_a = '
    folder = _shipped(wiring(("boards/heron-2.toml", f"{weak}1.0", f"{weak}0.5")))
    (folder / "marsh-230-b.toml").unlink()
    found = release(folder)
    assert code(found) == 1
    assert [it.rule for it in found.wiring[0].open] == ["fans-over-switch-rating"]
    assert {it.state for it in found.cells} == {"findings"}
    _consent(
        folder, assembly="marsh-230-c.toml", what="fans-over-switch-rating", role="part.fan",
        because="0.6 A for an hour: 41 C",
    )  # fmt: skip
    shutil.rmtree(folder / "reference")
    wiring_file = folder / "marsh-230-c.toml"
    into = str(folder / "reference/marsh-230-c")
    assert main(["reference", "--wiring", str(wiring_file), "--into", into]) == 0
    capsys.readouterr()
    found = release(folder)
    assert {it.state for it in found.cells} == {"agrees"}
    assert code(found) == 0
    text = (folder / "reference/marsh-230-c/section/reference.cfg").read_text()
    assert "# Known and let go by the maker: fans-over-switch-rating, part fan: 0.6 A for" in text
    assert "0.6 A for an hour: 41 C (release.toml:2:1)" in " ".join(capsys.readouterr().out.split())
    contract("release").validate(release_json.record(found))


@pytest.mark.parametrize(
    ("keys", "said"),
    [
        ({"because": " "}, "release.toml:6:11: there is no reason"),
        ({"assembly": "marsh-230-d.toml"}, "release.toml:3:12: there is no such assembly here"),
        ({"what": "edited"}, "release.toml:2:1: this consents to nothing that is there"),
        ({"what": "in no style"}, "release.toml:5:9: in no style takes no style"),
        ({"what": "pin-differs"}, "release.toml:5:9: pin-differs takes no style"),
        ({"becaus": "x"}, "release.toml:7:1: unknown key 'becaus'"),
    ],
)
def test_a_consent_that_means_nothing_is_an_error_with_its_line(
    shipped: Path, keys: dict[str, str], said: str
) -> None:
    shutil.rmtree(shipped / "reference/marsh-230-b/gcode")
    right = {
        "assembly": "marsh-230-b.toml", "what": "missing", "style": "gcode", "because": "soon",
    }  # fmt: skip
    _consent(shipped, **right)
    assert release(shipped).troubles == 0
    _consent(shipped, **(right | keys))
    found = release(shipped)
    assert found.troubles
    assert any(said in str(problem) for problem in found.problems), found.problems


def test_a_board_that_changed_under_its_references_fails(wiring: Wiring) -> None:
    folder = wiring(("boards/heron-2.toml", 'chip_pin = "PB8"', 'chip_pin = "PB13"'))
    (folder / "marsh-230-b.toml").unlink()
    shutil.copytree(api.demo("reference"), folder / "reference")
    (folder / "release.toml").unlink()
    states = _states(release(folder))
    assert {states["marsh-230-c.toml", style] for style in ("define", "section", "gcode")} == {
        "findings"
    }
    assert states["marsh-230-curlew.toml", "section"] == "stale"


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
    assert out.rstrip().endswith("The release fails: 4 troubles.")
    document = release_json.record(found)
    assert isinstance(document, dict)
    assert (document["agrees"], document["troubles"]) == (False, 4)
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
