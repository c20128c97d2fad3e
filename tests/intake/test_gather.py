"""Files, folders and archives are taken in; nothing outside them is."""

import bz2
import gzip
import io
import lzma
import os
import tarfile
import zipfile
from collections.abc import Callable
from functools import partial
from pathlib import Path

import pytest

from pincheck.intake import gather, gather_bytes, machines, read
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
    assert [a.problem.file for a in handed.aside] == ["photo.png"]
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
    (problem,) = handed.problems
    assert (
        problem.message
        == f"is a link to {tmp_path}/secret.cfg, outside the folder: it was not read"
    )
    assert problem.expected == f"the file itself in its place, or --follow {tmp_path}"


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
    assert [(a.problem.file, a.problem.message) for a in handed.aside] == [
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
    assert len(handed.aside) == 40


def test_only_what_is_reached_counts_against_the_bounds(monkeypatch: pytest.MonkeyPatch) -> None:
    """In an archive, too, whatever the order of its members."""
    boards = [(f"fw/src/b{n}.h", b"#define HEATER_0_PIN 1\n") for n in range(limits.FILES + 5)]
    mine = [("fw/m.h", b"#define MOTHERBOARD 1\n"), ("fw/m_adv.h", b"#define FAN_PIN 4\n")]
    (machine,), _ = machines(gather_bytes("send.zip", zipped(*boards, *mine)))
    assert [source.name for source in machine.sources] == ["fw/m.h", "fw/m_adv.h"]
    monkeypatch.setattr(limits, "FILES", 1)
    with pytest.raises(
        UnreadableError, match=r"^fw/m_adv\.h: with this file there are more than 1"
    ):
        machines(gather_bytes("send.zip", zipped(*boards, *mine)))


def test_hundreds_of_texts_count_nothing_beside_a_machine(tmp_path: Path) -> None:
    """Where all is too much, what holds no setting is set aside, and no limit is passed."""
    for n in range(500):
        (tmp_path / f"{n:03}.txt").write_bytes(b"The printer stood still at noon, again.\n" * 600)
    (tmp_path / "machine.cfg").write_bytes(SECTION)
    (tmp_path / "z.cfg").write_bytes(SECTION)
    handed = gather([tmp_path])
    assert handed.problems == ()
    assert names(handed)[-2:] == ["machine.cfg", "z.cfg"]
    assert len(handed.sources) + len(handed.aside) == 502
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
    assert len(handed.aside) == 40


def test_more_text_than_can_be_looked_at_is_refused_unless_the_main_file_is_certain(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Files that begin like a configuration and then turn out to be too long."""
    monkeypatch.setattr(limits, "EXPANDED_BYTES", 200_000)
    for n in range(9):
        text = SECTION * 800 + b"\n" * limits.FILE_LINES
        (tmp_path / f"{n}.cfg").write_bytes(text)
    with pytest.raises(UnreadableError, match=r"^4\.cfg: before this file .* nothing was read"):
        machines(gather([tmp_path]))
    (tmp_path / "a.cfg").write_bytes(SECTION)
    (tmp_path / "printer.cfg").write_bytes(b"[printer]\n[include a.cfg]\n")
    (machine,), _ = machines(gather([tmp_path]))
    assert [source.name for source in machine.sources] == ["printer.cfg", "a.cfg"]


def test_too_many_fragments_are_refused(tmp_path: Path) -> None:
    for n in range(limits.FILES + 1):
        (tmp_path / f"{n:03}.cfg").write_bytes(SECTION)
    with pytest.raises(UnreadableError, match=r"^400.cfg: with this file there are more than 400"):
        machines(gather([tmp_path]))


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
    "squeeze",
    [
        pytest.param(lambda data: zipped(*((f"{n}.cfg", data[::40]) for n in range(40))), id="zip"),
        pytest.param(partial(gzip.compress, compresslevel=1), id="gzip"),
        pytest.param(partial(bz2.compress, compresslevel=1), id="bzip2"),
        pytest.param(partial(lzma.compress, preset=0), id="xz"),
    ],
)
def test_bombs_stop_at_the_bound(squeeze: Callable[[bytes], bytes]) -> None:
    with pytest.raises(UnreadableError, match=r"^send: expands to more than 32 MB: nothing was"):
        gather_bytes("send", squeeze(bytes(limits.EXPANDED_BYTES + 1_000_000)))


@pytest.mark.parametrize("cut", [30, 60, 100])
def test_a_cut_off_archive_is_said_to_be_one(cut: int) -> None:
    handed = gather_bytes("send.zip", zipped(("machine.cfg", SECTION * 50))[:cut])
    assert handed.sources == ()
    assert "damaged" in handed.problems[0].message


def test_too_many_members_stop() -> None:
    data = zipped(*((f"{n}.cfg", SECTION) for n in range(limits.ARCHIVE_MEMBERS + 5)))
    with pytest.raises(UnreadableError, match=r"^send.zip: holds more than 5,000 members: nothing"):
        gather_bytes("send.zip", data)


@pytest.mark.parametrize("squeeze", [gzip.compress, bz2.compress, lzma.compress])
def test_every_stream_of_a_compressed_file_is_read(squeeze: Callable[[bytes], bytes]) -> None:
    """Parallel compressors and `cat` write several; zeros behind the last are padding."""
    data = tarred(("m/machine.cfg", SECTION), ("m/hot.cfg", SECTION))
    streams = squeeze(data[:700]) + squeeze(data[700:])
    for behind in (b"", bytes(512)):
        handed = gather_bytes("send.tgz", streams + behind)
        assert names(handed) == ["m/machine.cfg", "m/hot.cfg"]
        assert handed.problems == ()
    for wrong in (streams + b"more", streams[:-9], squeeze(data[:700]) + squeeze(data)[:40]):
        (problem,) = gather_bytes("send.tgz", wrong).problems
        assert problem.message.startswith("the archive is damaged or cut off")


def test_an_archive_is_read_whole_or_not_at_all() -> None:
    """At whatever length a tar or zip archive is cut, none of it is read."""
    data = tarred(("a.cfg", SECTION), ("b.cfg", SECTION * 40), ("c.cfg", SECTION))
    end = len(data.rstrip(b"\0")) // 512 * 512 + 512
    for pack, last in ((data, end), (zipped(("a.cfg", SECTION), ("b.cfg", SECTION)), None)):
        last = last or len(pack) - 1
        for length in (*range(300, last, 97), *range(512, last + 1, 512), last):
            handed = gather_bytes("send", pack[:length])
            assert (handed.sources, [p.fatal for p in handed.problems]) == ((), [True]), length
    assert len(gather_bytes("send", data[: end + 512]).sources) == 3


def test_what_follows_or_precedes_an_archive_is_not_passed_over() -> None:
    """Two archives one behind the other, of which unpackers would see one."""
    tar, pack = tarred(("a.cfg", SECTION)), zipped(("a.cfg", SECTION))
    for data in (tar + tar, pack + pack, pack + b"more"):
        handed = gather_bytes("send", data)
        assert handed.sources == ()
        assert "its end" in handed.problems[0].message or "its first" in handed.problems[0].message


def test_sizes_and_names_that_no_member_has_are_told() -> None:
    """A negative size, a huge one, none at all: the library's own words are not the answer."""
    one = bytearray(tarred(("a.cfg", SECTION), ("b.cfg", SECTION)))
    for size in (b"\xff" * 11 + b"\x00", b"\x80" + b"\x7f" * 11, b"77777777777\0"):
        one[124:136] = size
        one[148:156] = b" " * 8
        one[148:156] = b"%06o\0 " % sum(one[:512])
        (problem,) = gather_bytes("send.tar", bytes(one)).problems
        assert "damaged or cut off" in problem.message
    handed = gather_bytes(
        "send.zip", zipped((".", SECTION), ("n" * 9_000, SECTION), ("a", SECTION))
    )
    assert names(handed) == ["a"]
    told = [problem.message for problem in handed.problems]
    assert told[0] == "member '.' has no name; refused"
    assert told[1] == "its name has 9,000 characters"
    assert len(str(handed.problems[1])) < 200


def test_a_compressed_file_that_is_no_archive_is_that_file() -> None:
    handed = gather_bytes("machine.cfg.gz", gzip.compress(SECTION))
    assert [(s.name, s.data) for s in handed.sources] == [("machine.cfg", SECTION)]


def test_a_single_file_brings_along_what_it_includes(tmp_path: Path) -> None:
    """From its own folder, and nothing else of it; links are held to that folder, too."""
    folder = tmp_path / "cfg"
    (folder / "parts").mkdir(parents=True)
    (tmp_path / "out.cfg").write_bytes(SECTION)
    wanted = ("tool.cfg", "parts/*.cfg", "hot.log", "../out.cfg", "link.cfg")
    main = b"[printer]\n" + b"".join(f"[include {path}]\n".encode() for path in wanted)
    (folder / "printer.cfg").write_bytes(main)
    (folder / "tool.cfg").write_bytes(b"[include parts/../deep.cfg]\n" + SECTION)
    for name in ("deep.cfg", "parts/a.cfg", "hot.log", "idle.cfg", "parts/b.txt"):
        (folder / name).write_bytes(SECTION)
    (folder / "link.cfg").symlink_to("../out.cfg")
    handed = gather([folder / "printer.cfg"], beside=True)
    (machine,), _ = machines(handed)
    expected = {"printer.cfg", "tool.cfg", "deep.cfg", "parts/a.cfg", "hot.log"}
    assert {source.name for source in machine.sources} == expected
    assert [(m.name, m.verb) for m in read(machine).not_sent] == [
        ("../out.cfg", "sent"),
        ("link.cfg", "read"),
    ]
    assert machine.root == folder.resolve()
    followed = gather([folder / "printer.cfg"], follow=[tmp_path], beside=True)
    assert "link.cfg" in names(followed)
    assert names(gather([folder / "printer.cfg"])) == ["printer.cfg"]


def test_a_single_header_brings_along_its_companion_and_pins(tmp_path: Path) -> None:
    main = b'#define MOTHERBOARD BOARD_CRAKE\n#include "own.h"\n'
    for name in ("own.h", "Configuration_adv.h", "pins.h", "Configuration_old.h", "other.h"):
        (tmp_path / name).write_bytes(b"#define FAN_PIN 4\n")
    (tmp_path / "Configuration.h").write_bytes(main)
    (machine,), _ = machines(gather([tmp_path / "Configuration.h"], beside=True))
    assert machine.starts == ("Configuration.h", "Configuration_adv.h", "pins.h")
    assert {source.name for source in machine.sources} == {*machine.starts, "own.h"}


def test_links_to_folders_are_followed_inside_and_where_allowed(tmp_path: Path) -> None:
    """A link to a folder above itself is not entered again."""
    addon, folder = tmp_path / "addon", tmp_path / "cfg"
    for path in (addon, folder / "real"):
        path.mkdir(parents=True)
        (path / "a.cfg").write_bytes(SECTION)
    (folder / "inside").symlink_to("real")
    (folder / "addon").symlink_to("../addon")
    (folder / "loop").symlink_to(".")
    refused = gather([folder])
    assert names(refused) == ["inside/a.cfg", "real/a.cfg"]
    (problem,) = refused.problems
    assert str(problem) == (
        f"addon: is a link to {addon}, outside the folder: it was not read; "
        f"expected the file itself in its place, or --follow {addon}"
    )
    allowed = gather([folder], follow=[addon])
    assert names(allowed) == ["addon/a.cfg", "inside/a.cfg", "real/a.cfg"]
    assert allowed.problems == ()
