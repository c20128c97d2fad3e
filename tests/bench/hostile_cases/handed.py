"""What is handed over: files, folders and archives."""

import bz2
import gzip
import io
import lzma
import os
import tarfile
import zipfile
from collections.abc import Callable, Iterable
from pathlib import Path
from warnings import catch_warnings, simplefilter

from hostile_cases.build import Build, Words, checked, full, many
from pincheck.model import limits

SECTION = b"[printer]\nkinematics: none\n[extruder]\nheater_pin: PC8\n"
_MB = 1024 * 1024


def zipped(members: Iterable[tuple[str | zipfile.ZipInfo, bytes]]) -> bytes:
    """Return a zip archive."""
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w", zipfile.ZIP_DEFLATED) as archive, catch_warnings():
        simplefilter("ignore", UserWarning)
        for name, data in members:
            archive.writestr(name, data)
    return buffer.getvalue()


def tarred(members: Iterable[tuple[str | tarfile.TarInfo, bytes]]) -> bytes:
    """Return a tar archive."""
    buffer = io.BytesIO()
    with tarfile.open(fileobj=buffer, mode="w") as archive:
        for name, data in members:
            about = tarfile.TarInfo(name) if isinstance(name, str) else name
            about.size = len(data)
            archive.addfile(about, io.BytesIO(data))
    return buffer.getvalue()


def one_file(name: str, data: Callable[[], bytes]) -> Build:
    """Hand over one file or archive by its name."""

    def build(folder: Path) -> Words:
        (folder / name).write_bytes(data())
        return ["check", "--demo", str(folder / name)]

    return build


def _bomb(compressor: "bz2.BZ2Compressor | lzma.LZMACompressor", megabytes: int) -> bytes:
    block = bytes(_MB)
    packed = b"".join(compressor.compress(block) for _ in range(megabytes))
    return packed + compressor.flush()


def _gzip_bomb() -> bytes:
    buffer = io.BytesIO()
    with gzip.GzipFile(fileobj=buffer, mode="wb", mtime=0) as stream:
        for _ in range(100):
            stream.write(bytes(_MB))
    return buffer.getvalue()


def _names(count: int, data: bytes = b"") -> Iterable[tuple[str, bytes]]:
    return ((f"{number}.cfg", data) for number in range(count))


def _deep(folder: Path) -> Words:
    inner = folder.joinpath("machine", *(f"d{number}" for number in range(200)))
    inner.mkdir(parents=True)
    (inner / "machine.cfg").write_bytes(SECTION)
    return ["check", "--demo", str(folder / "machine")]


def _huge(folder: Path) -> Words:
    with (folder / "machine.cfg").open("wb") as stream:
        stream.truncate(50_000 * _MB)
    return ["check", "--demo", str(folder / "machine.cfg")]


def _many_huge(folder: Path) -> Words:
    (folder / "machine").mkdir()
    for number in range(1_900):
        with (folder / "machine" / f"{number}.cfg").open("wb") as stream:
            stream.truncate(500 * _MB)
    return ["check", "--demo", str(folder / "machine")]


def _pipe(folder: Path) -> Words:
    os.mkfifo(folder / "machine.cfg")
    return ["check", "--demo", str(folder / "machine.cfg")]


def _device(folder: Path) -> Words:
    (folder / "machine.cfg").symlink_to("/dev/zero")
    return ["check", "--demo", str(folder / "machine.cfg")]


_NO_USE = full("# no use of this text\n", "[printer]\nkinematics: none\n")
_PICTURE = b"\x89PNG" + bytes(900_000)
_PROSE = "This is what the machine said at ten to nine.\n" * 10_000

CASES: dict[str, Build] = {
    "file of 50 GB": _huge,
    "pipe": _pipe,
    "link to a device": _device,
    "folder of 1,900 files of 500 MB": _many_huge,
    "folder of 1,900 small files": many(1_900, "@.cfg", lambda _: SECTION),
    "folder of 5,100 files": many(5_100, "@.cfg", lambda _: b""),
    "folder of 390 full files": many(390, "f@.cfg", lambda _: _NO_USE),
    "folder with 300 logs": many(
        300, "logs/@.log", lambda _: _PROSE, machine__cfg=lambda: SECTION.decode()
    ),
    "folder with 300 texts": many(
        300, "@.txt", lambda _: _PROSE, machine__cfg=lambda: SECTION.decode()
    ),
    "folder with 600 pictures": many(
        600, "@.png", lambda _: _PICTURE, machine__cfg=lambda: SECTION.decode()
    ),
    "folder with 1,500 texts": many(
        1_500, "@.txt", lambda _: _PROSE[:20_000], machine__cfg=lambda: SECTION.decode()
    ),
    "folder of 1,500 long files": many(
        1_500, "f@.cfg", lambda _: SECTION * 800 + b"\n" * limits.FILE_LINES
    ),
    "folders 200 deep": _deep,
    "16 MB of binary": one_file("x.cfg", lambda: bytes(range(256)) * 65_536),
    "16 MB in one line": one_file("x.cfg", lambda: b"x" * 16 * _MB),
    "1 MB in lines of 5,000": checked(m__cfg="[printer]\n" + (f"pin: {'x' * 4_990}\n") * 200),
    "a print job of 2 MB": one_file("p.gcode", lambda: b"G1 X10.5 Y20.5 E0.5\n" * 90_000),
    "zip of 12,000 members": one_file("m.zip", lambda: zipped(_names(12_000))),
    "zip that expands to 100 MB": one_file("m.zip", lambda: zipped(_names(100, bytes(_MB)))),
    "zip of one name 2,000 times": one_file(
        "m.zip", lambda: zipped(("m.cfg", SECTION + b"#" * n) for n in range(2_000))
    ),
    "zip within zip": one_file("m.zip", lambda: zipped([("in.zip", zipped(_names(9, SECTION)))])),
    "tar of 10,000 members": one_file("m.tar", lambda: tarred(_names(10_000))),
    "tar of 900 links": one_file(
        "m.tar", lambda: tarred((_link(f"{n}.cfg", "/etc/passwd"), b"") for n in range(900))
    ),
    "tar.gz of 10,000 members": one_file("m.tgz", lambda: gzip.compress(tarred(_names(10_000)), 1)),
    "gzip that expands to 100 MB": one_file("m.tgz", _gzip_bomb),
    "bzip2 that expands to 40 MB": one_file("m.tbz", lambda: _bomb(bz2.BZ2Compressor(), 40)),
    "xz that expands to 40 MB": one_file("m.txz", lambda: _bomb(lzma.LZMACompressor(preset=0), 40)),
    "xz that wants 768 MB": one_file("m.txz", lambda: _hungry_xz()),
}


def _link(name: str, target: str) -> tarfile.TarInfo:
    about = tarfile.TarInfo(name)
    about.type, about.linkname = tarfile.SYMTYPE, target
    return about


def _hungry_xz() -> bytes:
    """Return a small stream that asks for a dictionary of 768 MB, by its header alone."""
    packed = bytearray(lzma.compress(b"x" * 99, preset=0))
    # Byte 16 of the stream is the dictionary's size; the header's checksum follows it.
    packed[16] = 37
    packed[20:24] = zlib_crc(bytes(packed[12:20]))
    return bytes(packed)


def zlib_crc(data: bytes) -> bytes:
    """Return the checksum that an xz header ends in."""
    import zlib

    return zlib.crc32(data).to_bytes(4, "little")
