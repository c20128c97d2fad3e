"""Files are replaced whole or not at all, and only those that were read."""

from pathlib import Path

import pytest

from pincheck.edits.patch import patched
from pincheck.edits.write import write
from pincheck.intake import gather
from pincheck.model.finding import Edit
from pincheck.model.source import Source
from pincheck.writing.change import WriteRefusedError


def folder(tmp_path: Path, *names: str) -> tuple[Path, tuple[Source, ...], tuple[Source, ...]]:
    root = tmp_path / "mine"
    root.mkdir()
    for name in names:
        (root / name).write_bytes(b"[fan]\r\npin: PB7\r\n")
    before = gather([root]).sources
    return root, before, patched(before, [Edit(name, 12, 15, "PB8") for name in names])


def test_mode_is_kept_and_no_temporary_file_is_left(tmp_path: Path) -> None:
    root, before, after = folder(tmp_path, "a.cfg")
    (root / "a.cfg").chmod(0o640)
    assert write(root, before, after) == (root / "a.cfg",)
    assert (root / "a.cfg").read_bytes() == b"[fan]\r\npin: PB8\r\n"
    assert (root / "a.cfg").stat().st_mode & 0o777 == 0o640
    assert {path.name for path in root.iterdir()} == {"a.cfg", ".pincheck-undo"}
    assert (root / ".pincheck-undo").stat().st_mode & 0o777 == 0o600


def test_a_file_changed_since_it_was_read_stops_everything(tmp_path: Path) -> None:
    root, before, after = folder(tmp_path, "a.cfg", "b.cfg")
    (root / "b.cfg").write_bytes(b"mine\n")
    with pytest.raises(WriteRefusedError, match="changed since it was read"):
        write(root, before, after)
    assert (root / "a.cfg").read_bytes() == before[0].data
    assert (root / "b.cfg").read_bytes() == b"mine\n"


def test_a_vanished_file_stops_everything(tmp_path: Path) -> None:
    root, before, after = folder(tmp_path, "a.cfg", "b.cfg")
    (root / "b.cfg").unlink()
    with pytest.raises(WriteRefusedError):
        write(root, before, after)
    assert (root / "a.cfg").read_bytes() == before[0].data


def test_a_link_that_came_to_lead_outside_is_refused(tmp_path: Path) -> None:
    root, before, after = folder(tmp_path, "a.cfg")
    outside = tmp_path / "outside.cfg"
    outside.write_bytes(before[0].data)
    (root / "a.cfg").unlink()
    (root / "a.cfg").symlink_to(outside)
    with pytest.raises(WriteRefusedError, match="leads out"):
        write(root, before, after)
    assert outside.read_bytes() == before[0].data


def test_a_failure_at_the_second_file_restores_the_first(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    root, before, after = folder(tmp_path, "a.cfg", "b.cfg")
    replace = Path.replace

    def failing(self: Path, target: Path) -> Path:
        if Path(target).name == "b.cfg":
            raise OSError(28, "No space left on device", "b.cfg")
        return replace(self, target)

    monkeypatch.setattr(Path, "replace", failing)
    with pytest.raises(WriteRefusedError, match="No space left"):
        write(root, before, after)
    assert [path.read_bytes() for path in sorted(root.iterdir())] == [s.data for s in before]
