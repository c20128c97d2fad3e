"""Paths of a batch stay inside its folder."""

from pathlib import Path

import pytest

from pincheck.batch.submission import Submission, SubmissionRefusedError, entries, locate


@pytest.fixture
def inside(tmp_path: Path) -> Path:
    """A folder with a file, beside one that must not be reached."""
    (tmp_path / "outside.cfg").write_text("[printer]")
    folder = tmp_path / "batch"
    (folder / "sub").mkdir(parents=True)
    (folder / "a.cfg").write_text("[printer]")
    (folder / "sub" / "b.cfg").write_text("[printer]")
    (folder / "leak").symlink_to(tmp_path / "outside.cfg")
    (folder / "alias").symlink_to("a.cfg")
    (folder / "loop").symlink_to("loop")
    return folder.resolve()


@pytest.mark.parametrize("path", ["a.cfg", "sub/b.cfg", "sub", "sub/../a.cfg", "alias"])
def test_paths_inside(inside: Path, path: str) -> None:
    """Files, folders and links that stay inside are found."""
    assert locate(inside, path).resolve().is_relative_to(inside)


@pytest.mark.parametrize(
    ("path", "why"),
    [
        ("../outside.cfg", "leads out"),
        ("sub/../../outside.cfg", "leads out"),
        ("leak", "leads out"),
        (".", "leads out"),
        ("/etc/passwd", "absolute"),
        ("C:/x", "absolute"),
        ("C:x", "absolute"),
        ("\\\\host\\share", "absolute"),
        ("loop", "leads nowhere"),
        ("", "empty"),
        ("a\0b", "empty or broken"),
        ("b" * 5_000, "leads nowhere"),
        ("missing.cfg", "there is no missing.cfg"),
        ("\x1b[2J", r"there is no \\x1b\[2J"),
    ],
)
def test_paths_refused(inside: Path, path: str, why: str) -> None:
    """Each says why, in characters that a terminal may see."""
    with pytest.raises(SubmissionRefusedError, match=why):
        locate(inside, path)


def test_entries_by_name_without_hidden_ones(inside: Path) -> None:
    """Each entry is one submission; what begins with a dot belongs to the desk's own tools."""
    (inside / ".notes").write_text("x")
    names = ["a.cfg", "alias", "leak", "loop", "sub"]
    assert list(entries(inside)) == [Submission(name, name) for name in names]
