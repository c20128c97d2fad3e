"""Texts to files, devices, pipes and open handles."""

import os
import subprocess
import sys
import threading
from collections.abc import Iterator
from pathlib import Path

import pytest

from pincheck.writing.change import WriteRefusedError
from pincheck.writing.output import put

TEXTS = ("id,path\r\n", "A-1,clean\r\n")
WHOLE = "".join(TEXTS).encode()


def test_a_new_file_and_one_that_is_there(tmp_path: Path) -> None:
    """A new one gets the usual mode, one that is there keeps its own; the link to it stays."""
    file, link = tmp_path / "out.csv", tmp_path / "link.csv"
    mask = os.umask(0o027)
    try:
        put(file, TEXTS)
    finally:
        os.umask(mask)
    assert (file.read_bytes(), file.stat().st_mode & 0o777) == (WHOLE, 0o640)
    file.chmod(0o604)
    link.symlink_to(file)
    put(link, TEXTS[:1])
    assert (file.read_bytes(), file.stat().st_mode & 0o777) == (WHOLE[:9], 0o604)
    assert link.is_symlink()
    assert sorted(path.name for path in tmp_path.iterdir()) == ["link.csv", "out.csv"]


def test_what_fails_in_the_middle_leaves_the_file_as_it_was(tmp_path: Path) -> None:
    """Whatever the reason; no other file stays."""

    def failing() -> Iterator[str]:
        yield "half"
        raise ValueError

    (tmp_path / "out.csv").write_bytes(WHOLE)
    with pytest.raises(ValueError):  # noqa: PT011
        put(tmp_path / "out.csv", failing())
    assert (tmp_path / "out.csv").read_bytes() == WHOLE
    assert len(list(tmp_path.iterdir())) == 1


def test_a_pipe_with_a_name(tmp_path: Path) -> None:
    """It stays a pipe, and its reader gets everything."""
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    got: list[bytes] = []
    reader = threading.Thread(target=lambda: got.append(pipe.read_bytes()))
    reader.start()
    put(pipe, TEXTS)
    reader.join()
    assert got == [WHOLE]
    assert pipe.is_fifo()


def test_devices() -> None:
    """The null device takes it and stays; a full one is named."""
    put(Path("/dev/null"), TEXTS)
    assert Path("/dev/null").is_char_device()
    with pytest.raises(WriteRefusedError, match="/dev/full cannot be written: No space"):
        put(Path("/dev/full"), TEXTS)


@pytest.mark.parametrize("name", ["/dev/fd/1", "/dev/stdout", "/proc/self/fd/1", "out.txt"])
@pytest.mark.parametrize("into_file", [False, True])
def test_the_open_output(tmp_path: Path, name: str, into_file: bool) -> None:
    """As a shell gives it: a pipe or a file, which the rest of the output goes to as well."""
    program = (
        "import sys; from pathlib import Path; from pincheck.writing.output import put\n"
        f"print('before'); put(Path({name!r}), ['text\\n']); print('after')"
    )
    out = tmp_path / "out.txt"
    if name == "out.txt" and not into_file:
        pytest.skip("only a file has a name")
    with out.open("wb") as stream:
        run = subprocess.run(
            [sys.executable, "-c", program],
            cwd=tmp_path,
            stdout=stream if into_file else subprocess.PIPE,
            check=True,
        )
    assert (out.read_bytes() if into_file else run.stdout) == b"before\ntext\nafter\n"


def test_messages_name_the_file(tmp_path: Path) -> None:
    """A folder, a folder that is missing, a link to itself."""
    loop = tmp_path / "loop"
    loop.symlink_to(loop)
    for file in (tmp_path, tmp_path / "no" / "out.csv", loop):
        with pytest.raises(WriteRefusedError) as caught:
            put(file, TEXTS)
        assert str(caught.value).startswith(f"{file} cannot be written: ")
        assert ".pincheck" not in str(caught.value)
