"""Files, folders and archives are taken in; nothing outside them is."""

import bz2
import gzip
import io
import lzma
import os
import tarfile
import zipfile
from pathlib import Path

import pytest

from pincheck.intake import gather, gather_bytes
from pincheck.intake.gather import Handed
from pincheck.model import limits
from pincheck.model.problem import UnreadableError

SECTION = b"[extruder]\nheater_pin: PC8\n"


def names(handed: Handed) -> list[str]:
    return [source.name for source in handed.sources]


def test_a_folder_gives_its_files_relative_and_sorted(tmp_path: Path) -> None:
    (tmp_path / "b").mkdir()
    (tmp_path / "b" / "toolhead.cfg").write_bytes(SECTION)
    (tmp_path / "a.cfg").write_bytes(SECTION)
    (tmp_path / ".hidden").write_bytes(SECTION)
    (tmp_path / "photo.png").write_bytes(b"\x89PNG....")
    handed = gather([tmp_path])
    assert names(handed) == ["a.cfg", "b/toolhead.cfg"]
    assert handed.problems == ()
    assert [p.file for p in handed.passed_over] == ["photo.png"]
    assert handed.root == tmp_path.resolve()


def test_files_keep_the_order_given(tmp_path: Path) -> None:
    for name in ("z.h", "a.h"):
        (tmp_path / name).write_bytes(b"#define X 1\n")
    assert names(gather([tmp_path / "z.h", tmp_path / "a.h"])) == ["z.h", "a.h"]


def test_a_link_out_of_the_folder_is_refused_and_one_inside_is_followed(tmp_path: Path) -> None:
    (tmp_path / "secret.cfg").write_bytes(SECTION)
    folder = tmp_path / "mine"
    folder.mkdir()
    (folder / "real.cfg").write_bytes(SECTION)
    (folder / "inside.cfg").symlink_to("real.cfg")
    (folder / "outside.cfg").symlink_to("../secret.cfg")
    handed = gather([folder])
    assert names(handed) == ["inside.cfg", "real.cfg"]
    assert "leaves the folder" in handed.problems[0].message


def test_a_pipe_is_refused_without_waiting_for_it(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "machine.cfg")
    handed = gather([tmp_path / "machine.cfg"])
    assert "no regular file" in handed.problems[0].message


def test_a_missing_file_and_a_huge_one_are_problems(tmp_path: Path) -> None:
    (tmp_path / "huge.cfg").write_bytes(SECTION * (limits.FILE_BYTES // len(SECTION) + 1))
    handed = gather([tmp_path / "none.cfg", tmp_path / "huge.cfg"])
    assert [p.fatal for p in handed.problems] == [True, True]
    assert "too large" in handed.problems[1].message


def zipped(*entries: tuple[str | zipfile.ZipInfo, bytes]) -> bytes:
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in entries:
            archive.writestr(name, data)
    return buffer.getvalue()


def tarred(*entries: tuple[tarfile.TarInfo | str, bytes]) -> bytes:
    buffer = io.BytesIO()
    with tarfile.open(fileobj=buffer, mode="w") as archive:
        for name, data in entries:
            info = tarfile.TarInfo(name) if isinstance(name, str) else name
            info.size = len(data)
            archive.addfile(info, io.BytesIO(data))
    return buffer.getvalue()


LOG = b"Recv: temperature 21.4 of 0.0 at this moment\n" * 10_000
LOGS = [
    "console.log",
    "console.log.1",
    "console.log.2026-01-31",
    "console.LOG.old",
    "a.log-20260131",
]


@pytest.mark.parametrize("name", LOGS)
def test_logs_are_set_aside_by_their_names(name: str, tmp_path: Path) -> None:
    """Unread, however large; asked for by its name, a log is looked at like any file."""
    (tmp_path / "machine.cfg").write_bytes(SECTION)
    (tmp_path / name).write_bytes(SECTION)
    with (tmp_path / name).open("ab") as stream:
        stream.truncate(3_000_000)
    handed = gather([tmp_path])
    assert names(handed) == ["machine.cfg"]
    assert [(p.file, p.message) for p in handed.passed_over] == [
        (name, "this is a log by its name, not a configuration")
    ]
    assert "too large" in gather([tmp_path / name]).problems[0].message


@pytest.mark.parametrize("name", ["x.log.cfg", "my.logic.cfg", "log.cfg", "catalog", "a.logs.cfg"])
def test_names_that_only_look_like_a_log(name: str, tmp_path: Path) -> None:
    (tmp_path / name).write_bytes(SECTION)
    assert names(gather([tmp_path])) == [name]


def test_logs_in_an_archive_expand_to_nothing() -> None:
    """Forty logs of a megabyte are more than an archive may expand to."""
    logs = ((f"logs/{n}.log", b"x" * 1_000_000) for n in range(40))
    handed = gather_bytes("send.zip", zipped(("machine.cfg", SECTION), *logs))
    assert names(handed) == ["machine.cfg"]
    assert len(handed.passed_over) == 40


def test_of_more_than_one_machine_only_what_lies_beside_the_main_header_counts() -> None:
    """In an archive, too, whatever the order of its members."""
    boards = [(f"fw/src/b{n}.h", b"#define HEATER_0_PIN 1\n") for n in range(limits.FILES + 5)]
    mine = [("fw/m.h", b"#define MOTHERBOARD 1\n"), ("fw/m_adv.h", b"#define FAN_PIN 4\n")]
    handed = gather_bytes("send.zip", zipped(*boards, *mine))
    assert names(handed) == ["fw/m.h", "fw/m_adv.h"]
    assert len(handed.passed_over) == len(boards)
    two = [("other/m.h", b"#define MOTHERBOARD 2\n")]
    with pytest.raises(UnreadableError, match="nothing was read"):
        gather_bytes("send.zip", zipped(*boards, *mine, *two))


def test_hundreds_of_texts_count_nothing_beside_a_machine(tmp_path: Path) -> None:
    """Where all is too much, what holds no setting is set aside, and no limit is passed."""
    for n in range(500):
        (tmp_path / f"{n:03}.txt").write_bytes(b"The printer stood still at noon, again.\n" * 600)
    (tmp_path / "machine.cfg").write_bytes(SECTION)
    (tmp_path / "z.cfg").write_bytes(SECTION)
    handed = gather([tmp_path])
    assert handed.problems == ()
    assert names(handed)[-2:] == ["machine.cfg", "z.cfg"]
    assert len(handed.sources) + len(handed.passed_over) == 502
    assert len(handed.sources) <= limits.FILES


def test_pictures_and_other_files_that_are_no_text_count_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(limits, "EXPANDED_BYTES", 100_000)
    for n in range(20):
        (tmp_path / f"{n}.png").write_bytes(b"\x89PNG" + bytes(30_000))
        (tmp_path / f"{n}.bin").write_bytes(bytes(range(256)) * 100)
    (tmp_path / "machine.cfg").write_bytes(SECTION)
    handed = gather([tmp_path])
    assert names(handed) == ["machine.cfg"]
    assert len(handed.passed_over) == 40


def test_more_text_than_any_machine_has_is_refused_though_each_file_is_set_aside(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Files that begin like a configuration and then turn out to be too long."""
    monkeypatch.setattr(limits, "EXPANDED_BYTES", 200_000)
    for n in range(9):
        text = SECTION * 800 + b"\n" * limits.FILE_LINES
        (tmp_path / f"{n}.cfg").write_bytes(text)
    with pytest.raises(UnreadableError, match=r"^3\.cfg: with this file .* nothing was read"):
        gather([tmp_path])


def test_too_many_configurations_are_refused(tmp_path: Path) -> None:
    for n in range(limits.FILES + 1):
        (tmp_path / f"{n:03}.cfg").write_bytes(SECTION)
    with pytest.raises(UnreadableError, match=r"^400.cfg: with this file there are more than 400"):
        gather([tmp_path])


def test_a_folder_of_too_many_names_is_refused(tmp_path: Path) -> None:
    for n in range(limits.FOLDER_ENTRIES + 1):
        (tmp_path / f"{n}.cfg").touch()
    with pytest.raises(UnreadableError, match="holds more than 5,000 names: nothing was read"):
        gather([tmp_path])


@pytest.mark.parametrize("squeeze", [bytes, gzip.compress, bz2.compress, lzma.compress])
def test_tar_archives_of_every_kind(squeeze: type[bytes]) -> None:
    handed = gather_bytes("send.tar", squeeze(tarred(("m/machine.cfg", SECTION))))
    assert names(handed) == ["m/machine.cfg"]
    assert handed.root is None


def test_archive_members_that_leave_it_are_refused_and_the_rest_is_read() -> None:
    link = tarfile.TarInfo("link.cfg")
    link.type, link.linkname = tarfile.SYMTYPE, "/etc/passwd"
    device = tarfile.TarInfo("device")
    device.type = tarfile.CHRTYPE
    data = tarred(
        ("../up.cfg", SECTION),
        ("/abs.cfg", SECTION),
        (link, b""),
        (device, b""),
        ("ok.cfg", SECTION),
    )
    handed = gather_bytes("send.tar", data)
    assert names(handed) == ["ok.cfg"]
    assert [p.message.split("; ")[-1] for p in handed.problems] == ["refused"] * 4


def test_zip_members_that_leave_it_are_refused() -> None:
    link = zipfile.ZipInfo("link.cfg")
    link.external_attr = 0o120777 << 16
    data = zipped(
        ("..\\up.cfg", SECTION),
        ("C:/abs.cfg", SECTION),
        (link, b"/etc/passwd"),
        ("ok.cfg", SECTION),
    )
    handed = gather_bytes("send.zip", data)
    assert names(handed) == ["ok.cfg"]
    assert len(handed.problems) == 3


@pytest.mark.parametrize(
    "bomb",
    [
        pytest.param(zipped(*((f"{n}.cfg", b"0" * 2_000_000) for n in range(40))), id="zip"),
        pytest.param(gzip.compress(b"\x00" * 64_000_000), id="gzip"),
        pytest.param(bz2.compress(b"\x00" * 64_000_000), id="bzip2"),
        pytest.param(lzma.compress(b"\x00" * 64_000_000), id="xz"),
    ],
)
def test_bombs_stop_at_the_bound(bomb: bytes) -> None:
    with pytest.raises(UnreadableError, match=r"^send: expands to more than 32 MB: nothing was"):
        gather_bytes("send", bomb)


@pytest.mark.parametrize("cut", [30, 60, 100])
def test_a_cut_off_archive_is_said_to_be_one(cut: int) -> None:
    handed = gather_bytes("send.zip", zipped(("machine.cfg", SECTION * 50))[:cut])
    assert handed.sources == ()
    assert "damaged" in handed.problems[0].message


def test_too_many_members_stop() -> None:
    data = zipped(*((f"{n}.cfg", SECTION) for n in range(limits.ARCHIVE_MEMBERS + 5)))
    with pytest.raises(UnreadableError, match=r"^send.zip: holds more than 5,000 members: nothing"):
        gather_bytes("send.zip", data)
