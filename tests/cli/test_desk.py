"""The desk's command: exit codes, outputs, refusals."""

import json
import shutil
from pathlib import Path

import pytest

from pincheck import api
from pincheck.cli.main import main


@pytest.fixture
def batch(tmp_path: Path) -> Path:
    """A folder with one clean submission."""
    where = tmp_path / "batch"
    shutil.copytree(api.demo("clean") / "section", where / "clean")
    return where


@pytest.fixture
def desk(tmp_path: Path, batch: Path) -> list[str]:
    """The command over that folder with a store of its own."""
    wiring = str(api.demo("marsh-230-c.toml"))
    store = str(tmp_path / "store")
    return ["desk", str(batch), "--wiring", wiring, "--store", store, "--processes", "1"]


def test_exit_codes(desk: list[str], batch: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """0 without findings, 2 where something could not be checked, 1 once there is a finding."""
    assert main(desk) == 0
    (batch / "prose.txt").write_text("it does not print\n")
    assert main(desk) == 2
    shutil.copytree(batch / "clean", batch / "wrong")
    text = (batch / "wrong" / "toolhead.cfg").read_text()
    (batch / "wrong" / "toolhead.cfg").write_text(text.replace("pin: PB8", "pin: PB7"))
    assert main(desk) == 1
    assert main([*desk, "--at-least", "danger"]) == 2
    assert "Since the last run: 0 new, 0 fixed, 1 still there" in capsys.readouterr().out


def test_outputs_in_one_run(desk: list[str], tmp_path: Path) -> None:
    """JSON Lines and CSV are written whole, beside the table."""
    lines, sheet = tmp_path / "out.jsonl", tmp_path / "out.csv"
    assert main([*desk, "--json-lines", str(lines), "--csv", str(sheet)]) == 0
    assert [json.loads(line)["id"] for line in lines.read_text().splitlines()] == ["clean"]
    assert sheet.read_bytes().count(b"\r\n") == 2
    assert not list(tmp_path.glob(".out*"))


def test_an_output_on_standard_output_stands_there_alone(
    desk: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    """A pipe gets JSON Lines or CSV, with no table behind them; not both."""
    assert main([*desk, "--json-lines", "-"]) == 0
    assert json.loads(capsys.readouterr().out)["id"] == "clean"
    assert main([*desk, "--csv", "-"]) == 0
    assert capsys.readouterr().out.count("\r\n") == 2
    assert main([*desk, "--csv", "-", "--json-lines", "-"]) == 2


def test_manifest_and_rules(
    desk: list[str], batch: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Only what the manifest lists is checked; every line of it is in the table."""
    manifest = tmp_path / "list.csv"
    manifest.write_text("id,path,note\nA-7,clean,first\nA-8,../../etc,\n,clean,\n")
    (batch / "other.txt").write_text("x")
    assert main([*desk, "--manifest", str(manifest)]) == 2
    shown = capsys.readouterr().out
    assert "A-7" in shown
    assert "../../etc leads out of the batch's folder" in shown
    assert "list.csv:4:1: id is missing" in shown
    assert "other.txt" not in shown


@pytest.mark.parametrize(
    ("extra", "said"),
    [
        (["--reply", "claen"], "no submission has the id 'claen'; did you mean 'clean'?"),
        (["--seconds", "0"], "--seconds: wants more than 0"),
        (["--seconds", "inf"], "--seconds: wants more than 0 and at most 86400 seconds"),
        (["--seconds", "nan"], "--seconds: wants more than 0"),
        (["--first", "1e23"], "--first: wants a whole number from 1 to 100000"),
        (["--first", "1" * 5000], "--first: wants a whole number from 1 to 100000"),
        (["--memory-mb", "99999999999"], "--memory-mb: wants a whole number from 1 to 1048576"),
    ],
)
def test_refusals(
    desk: list[str], extra: list[str], said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """Each says what to write instead, and is exit code 2."""
    assert main([*desk, *extra]) == 2
    assert said in capsys.readouterr().err


def test_no_wiring(batch: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """There is nothing to check against."""
    assert main(["desk", str(batch)]) == 2
    assert "--wiring" in capsys.readouterr().err


def test_an_empty_folder_is_no_clean_batch(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "returns").mkdir()
    store = ["--store", str(tmp_path / "store")]
    assert main(["desk", str(tmp_path / "returns"), "--demo", *store]) == 2
    assert "there is no submission in" in capsys.readouterr().err


def test_reply(desk: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    """The reply to a clean submission is exit code 0 and touches no store."""
    assert main([*desk, "--reply", "clean"]) == 0
    assert capsys.readouterr().out.startswith("Thank you for sending your configuration.\n")
    assert not Path(desk[desk.index("--store") + 1]).exists()


def test_a_reply_without_an_assembly_tells_the_desk_why(
    desk: list[str], batch: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The customer is asked for the board; that the marker is misspelt is the desk's own matter."""
    (batch / "clean" / "pincheck-assembly.txt").write_text("marsh-230-x\n")
    assert main([*desk, "--reply", "clean"]) == 2
    streams = capsys.readouterr()
    assert "the files do not say which board" in streams.out
    assert "marsh-230-x" not in streams.out
    assert "there is no assembly 'marsh-230-x'; did you mean 'marsh-230-c'?" in streams.err


def test_an_output_is_no_input_of_the_run(
    desk: list[str], batch: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Neither the manifest, an assembly's file or board, the store, nor a submission; not twice."""
    manifest = tmp_path / "list.csv"
    manifest.write_text("id,path\n1,clean\n")
    (tmp_path / "link.csv").symlink_to(manifest)
    inputs = [
        manifest,
        tmp_path / "link.csv",
        api.demo("marsh-230-c.toml"),
        api.demo("boards") / "heron-2.toml",
        tmp_path / "store",
        batch / "out.csv",
    ]
    before = [path.read_bytes() if path.exists() else None for path in inputs]
    for option in ("--csv", "--json-lines"):
        for path in inputs:
            assert main([*desk, "--manifest", str(manifest), option, str(path)]) == 2
            assert f"{option} {path} is read by this run" in capsys.readouterr().err
    twice = str(tmp_path / "out")
    assert main([*desk, "--csv", twice, "--json-lines", twice]) == 2
    assert "is the file of --json-lines already" in capsys.readouterr().err
    assert [path.read_bytes() if path.exists() else None for path in inputs] == before
