"""Members of a zip or tar archive: all that it holds, or nothing where it is not whole."""

import bz2
import io
import lzma
import tarfile
import zipfile
import zlib
from collections.abc import Callable, Iterator
from functools import partial
from pathlib import PurePosixPath
from typing import Protocol

from pincheck.intake.aside import Aside, by_name
from pincheck.model import limits
from pincheck.model.printable import cut
from pincheck.model.problem import Problem, UnreadableError

_ENTRY, _END = b"PK\x01\x02", b"PK\x05\x06"
"""Begin every entry of a zip archive's directory, and the record behind all of them."""
_END_BYTES = 22

_BLOCK = tarfile.BLOCKSIZE
_LINKS = (tarfile.SYMTYPE, tarfile.LNKTYPE)

_EXPECTED = "an archive of one machine's configuration"
_TOO_MANY = f"holds more than {limits.ARCHIVE_MEMBERS:,} members: nothing was read"
_TOO_LARGE = f"expands to more than {limits.EXPANDED_BYTES // 1024 // 1024} MB: nothing was read"

Member = tuple[str, bytes] | Aside | Problem


class _DamagedError(Exception):
    """The archive is not whole; the message says what is missing or too much."""


class _Expander(Protocol):
    """What the decompressors of the standard library have in common."""

    @property
    def eof(self) -> bool: ...
    @property
    def unused_data(self) -> bytes: ...
    def decompress(self, data: bytes, max_length: int, /) -> bytes: ...


_SQUEEZED: tuple[tuple[bytes, Callable[[], _Expander]], ...] = (
    (b"\x1f\x8b", lambda: zlib.decompressobj(wbits=31)),
    (b"BZh", bz2.BZ2Decompressor),
    (b"\xfd7zXZ", lambda: lzma.LZMADecompressor(memlimit=limits.XZ_MEMORY_BYTES)),
)


def members(name: str, data: bytes) -> list[Member]:
    """Return (member's name, bytes) for every regular member, and what was refused or set aside.

    A compressed file that is no tar archive is one member, without the ending of its name. Of
    two members with one name the last counts, as for those who unpack it.

    Raises:
        UnreadableError: it holds or expands to far more than one machine's files.
    """
    try:
        if data.startswith(b"PK"):
            return list(_zip_members(name, data))
        plain = _expand(name, data)
        if plain is not data and not _is_tar(plain):
            return [(str(PurePosixPath(name).with_suffix("")), plain)]
        return list(_tar_members(name, plain))
    except UnreadableError:
        raise
    except Exception as error:  # the library's parsers raise whatever they stumble over
        why = cut(str(error) or type(error).__name__, 120)
        return [Problem(name, f"the archive is damaged or cut off ({why})", fatal=True)]


def _refusal(name: str, bound: str) -> UnreadableError:
    return UnreadableError((Problem(name, bound, expected=_EXPECTED, fatal=True),))


def _wrong_name(member: str) -> str:
    """Return why a member's name cannot be used."""
    path = PurePosixPath(member.replace("\\", "/"))
    if not path.name:
        return "has no name"
    if path.is_absolute() or member[1:2] == ":":
        return "has an absolute path"
    return "leaves the archive's folder" if ".." in path.parts else ""


def _zip_members(name: str, data: bytes) -> Iterator[Member]:
    if data.count(_ENTRY) > limits.ARCHIVE_MEMBERS:
        raise _refusal(name, _TOO_MANY)
    left = limits.EXPANDED_BYTES
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        infos = archive.infolist()
        if data.rfind(_END) + _END_BYTES + len(archive.comment) != len(data):
            raise _DamagedError("something follows its end")
        if any(info.header_offset == 0 for info in infos) != bool(infos):
            raise _DamagedError("something stands before its first member")
        last = {_clean(info.filename): info for info in infos if not info.filename.endswith("/")}
        for clean, info in sorted(last.items(), key=lambda item: _depth(item[0])):
            mode = info.external_attr >> 16
            content = partial(_zip_content, data, info.filename)
            if why := _wrong_name(info.filename):
                yield _refused(name, info.filename, why)
            elif mode and (mode & 0o170000) not in (0, 0o100000):
                yield from _left_out(name, clean, "is a link or device")
            elif info.flag_bits & 1:
                yield from _left_out(name, clean, "is encrypted")
            elif aside := by_name(clean):
                yield Aside(aside, content)
            else:
                found = _zip_content(data, info.filename, min(left, limits.FILE_BYTES) + 1, archive)
                left -= len(found)
                if left < 0:
                    raise _refusal(name, _TOO_LARGE)
                yield clean, found


def _zip_content(
    data: bytes, member: str, most: int, archive: zipfile.ZipFile | None = None
) -> bytes:
    archive = archive or zipfile.ZipFile(io.BytesIO(data))
    with archive.open(archive.getinfo(member)) as stream:
        return stream.read(most)


def _tar_members(name: str, data: bytes) -> Iterator[Member]:
    with tarfile.open(fileobj=io.BytesIO(data), mode="r:") as archive:
        last: dict[str, tarfile.TarInfo] = {}
        for count, info in enumerate(archive):
            if count == limits.ARCHIVE_MEMBERS:
                raise _refusal(name, _TOO_MANY)
            if info.size < 0 or not info.offset < archive.offset <= len(data):
                raise _DamagedError(f"{cut(info.name, 120)!r} is cut off or has no right size")
            if not info.isdir():
                last.pop(_clean(info.name), None)
                last[_clean(info.name)] = info
        behind = data[archive.offset :]
        if not last and not behind.strip(b"\0"):
            return
        if len(behind) < _BLOCK or behind.strip(b"\0"):
            what = "something follows its end" if len(behind) > _BLOCK else "its end is missing"
            raise _DamagedError(what)
        for clean, info in sorted(last.items(), key=lambda item: _depth(item[0])):
            content = partial(_slice, data, info.offset_data, info.size)
            if why := _wrong_name(info.name):
                yield _refused(name, info.name, why)
            elif not info.isreg() or info.issparse():
                to = f"link to {cut(info.linkname, 120)}"
                what = to if info.type in _LINKS else "device or holds gaps"
                yield from _left_out(name, clean, f"is a {what}")
            elif aside := by_name(clean):
                yield Aside(aside, content)
            else:
                yield clean, content(limits.FILE_BYTES + 1)


def _slice(data: bytes, start: int, size: int, most: int) -> bytes:
    return data[start : start + min(size, most)]


def _refused(archive: str, member: str, why: str) -> Problem:
    return Problem(archive, f"member {cut(member, 120)!r} {why}; refused")


def _left_out(archive: str, member: str, why: str) -> Iterator[Member]:
    """Yield what is said of a member that stays unread, and what an include of it is told."""
    yield _refused(archive, member, why)
    yield Aside(Problem(member, f"{why}, which is not read from an archive", fatal=True))


def _depth(member: str) -> int:
    """Return how deep a member lies: the main file comes before what lies below it."""
    return len(PurePosixPath(member).parts)


def _clean(member: str) -> str:
    return str(PurePosixPath(member.replace("\\", "/")))


def _is_tar(data: bytes) -> bool:
    """Tell whether bytes begin with the header of a tar archive, or are an empty one."""
    try:
        tarfile.TarInfo.frombuf(data[:_BLOCK], "utf-8", "surrogateescape")
    except tarfile.EOFHeaderError:  # type: ignore[attr-defined]
        return len(data) >= _BLOCK
    except tarfile.HeaderError:
        return False
    return True


def _expand(name: str, data: bytes) -> bytes:
    """Return the bytes of all streams of a compressed file, any other as it is.

    Zeros behind the last stream are padding (RFC 1952 leaves them open, xz allows them).

    Raises:
        UnreadableError: it expands to more than allowed.
        _DamagedError: a stream ends early, or something else follows.
    """
    new = next((new for mark, new in _SQUEEZED if data.startswith(mark)), None)
    if new is None:
        return data
    parts: list[bytes] = []
    left = limits.EXPANDED_BYTES + 1
    while data:
        expander = new()
        parts.append(expander.decompress(data, left))
        left -= len(parts[-1])
        if left <= 0:
            raise _refusal(name, _TOO_LARGE)
        if not expander.eof:
            raise _DamagedError("it ends too early")
        data = expander.unused_data
        if data and not data.startswith(tuple(mark for mark, _ in _SQUEEZED)):
            if data.strip(b"\0"):
                raise _DamagedError("something follows its end")
            break
    return b"".join(parts)
