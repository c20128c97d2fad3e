"""Nothing outside what was handed over is ever read, whatever the files and archives ask for."""

import tarfile
import zipfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from hostile_cases.handed import tarred, zipped
from hostile_cases.wiring import ASSEMBLY

from pincheck import api
from pincheck.intake import gather, gather_bytes

SECRET = "[extruder]\nheater_pin: PC13\n"
MAIN = {
    "machine.cfg": "[printer]\nkinematics: none\n[include {}]\n",
    "machine.h": '#define MOTHERBOARD 1\n#include "{}"\n',
    "config.g": 'M950 H0 C"out1" T0\nM98 P"{}"\n',
}


@pytest.mark.parametrize("name", MAIN)
@pytest.mark.parametrize(
    "way", ["../secret{}", "{root}/secret{}", "..\\secret{}", "link{}", "*/../../secret{}"]
)
def test_no_file_outside_the_folder_is_read(name: str, way: str, tmp_path: Path) -> None:
    """A path that leads out ends as not sent, for every style and spelling."""
    ending = Path(name).suffix
    (tmp_path / f"secret{ending}").write_text(SECRET)
    folder = tmp_path / "machine"
    folder.mkdir()
    (folder / f"link{ending}").symlink_to(tmp_path / f"secret{ending}")
    path = way.replace("{root}", str(tmp_path)).format(ending)
    (folder / name).write_text(MAIN[name].format(path))
    machine = api.load_configuration(folder)
    assert [source.name for source in machine.sources] == [name]
    claims, _ = api.claims(machine)
    assert not any("PC13" in str(claim.value) for claim in claims.all)


@pytest.mark.parametrize(
    "path", ["../board.toml", "/etc/passwd", "link.toml", "a/../../board.toml", "C:/board.toml"]
)
def test_no_board_outside_the_wiring_folder_is_read(
    path: str, tmp_path: Path, run: Callable[..., Any]
) -> None:
    """An assembly names boards of its own folder only."""
    (tmp_path / "board.toml").write_text("secret = 1\n")
    folder = tmp_path / "wiring"
    folder.mkdir()
    (folder / "link.toml").symlink_to(tmp_path / "board.toml")
    (folder / "wiring.toml").write_text(ASSEMBLY.replace("board.toml", path))
    ran = run("trace", "--wiring", folder / "wiring.toml")
    assert ran.code == 2
    assert "secret" not in ran.said
    assert "expected file of board main: a file inside the assembly's own folder" in ran.said


NAMES = (
    "../up.cfg",
    "/absolute.cfg",
    "a/../../up.cfg",
    "..\\up.cfg",
    "C:\\drive.cfg",
    "\\absolute.cfg",
)


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("pack", [zipped, tarred])
def test_members_that_leave_the_archive_are_refused(name: str, pack: Callable[..., bytes]) -> None:
    """Names with `..` or an absolute path are refused, and the rest is read."""
    handed = gather_bytes("m", pack([(name, SECRET.encode()), ("ok.cfg", b"[printer]\n")]))
    assert [source.name for source in handed.sources] == ["ok.cfg"]
    assert len(handed.problems) == 1
    assert handed.problems[0].message.endswith("refused")


KINDS = (tarfile.SYMTYPE, tarfile.LNKTYPE, tarfile.CHRTYPE, tarfile.BLKTYPE, tarfile.FIFOTYPE)


@pytest.mark.parametrize("kind", KINDS)
def test_links_and_devices_of_a_tar_are_refused(kind: bytes) -> None:
    """Only regular members are read."""
    odd = tarfile.TarInfo("odd.cfg")
    odd.type, odd.linkname = kind, "/etc/passwd"
    handed = gather_bytes("m", tarred([(odd, b""), ("ok.cfg", b"[printer]\n")]))
    assert [source.name for source in handed.sources] == ["ok.cfg"]
    assert handed.problems[0].message.endswith(
        ("is a link to /etc/passwd; refused", "is a device or holds gaps; refused")
    )


def test_links_and_devices_of_a_zip_are_refused() -> None:
    """A zip's link is a member whose content is its target."""
    link = zipfile.ZipInfo("odd.cfg")
    link.external_attr = 0o120777 << 16
    handed = gather_bytes("m", zipped([(link, b"/etc/passwd"), ("ok.cfg", b"[printer]\n")]))
    assert [source.name for source in handed.sources] == ["ok.cfg"]


@pytest.mark.parametrize("pack", [zipped, tarred])
def test_the_last_of_two_members_with_one_name_counts(pack: Callable[..., bytes]) -> None:
    """As for those who unpack it."""
    data = pack([("./m.cfg", b"[printer]\n"), ("m.cfg", b"[extruder]\n")])
    handed = gather_bytes("m", data)
    assert [source.text for source in handed.sources] == ["[extruder]\n"]
    assert handed.problems == ()


def test_links_in_a_circle_and_a_folder_of_pipes_end(tmp_path: Path) -> None:
    """Neither a link to itself nor a pipe makes reading wait."""
    import os

    (tmp_path / "a.cfg").symlink_to("b.cfg")
    (tmp_path / "b.cfg").symlink_to("a.cfg")
    (tmp_path / "loop").symlink_to(tmp_path)
    os.mkfifo(tmp_path / "pipe.cfg")
    (tmp_path / "ok.cfg").write_text("[printer]\n")
    handed = gather([tmp_path])
    assert [source.name for source in handed.sources] == ["ok.cfg"]
    assert len(handed.problems) == 3
