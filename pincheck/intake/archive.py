"""Members of a zip or tar archive, none of them outside it and none larger than allowed."""

import bz2
import io
import lzma
import tarfile
import zipfile
import zlib
from collections.abc import Iterator
from itertools import islice
from pathlib import PurePosixPath

from pincheck.intake.aside import Aside, by_name
from pincheck.model import limits
from pincheck.model.problem import Problem, UnreadableError

_ENTRY = b"PK\x01\x02"
"""Begins every entry of a zip archive's directory, which is read whole or not at all."""

_EXPECTED = "an archive of one machine's configuration"
_TOO_MANY = f"holds more than {limits.ARCHIVE_MEMBERS:,} members: nothing was read"
_TOO_LARGE = f"expands to more than {limits.EXPANDED_BYTES // 1024 // 1024} MB: nothing was read"


def members(name: str, data: bytes) -> Iterator[tuple[str, bytes] | Aside | Problem]:
    """Yield (member's name, bytes) for every regular member, a Problem for every refused one.

    Raises:
        UnreadableError: it holds or expands to far more than one machine's files.
    """
    try:
        if data.startswith(b"PK") and data.count(_ENTRY) > limits.ARCHIVE_MEMBERS:
            raise _refusal(name, _TOO_MANY)
        elif data.startswith(b"PK"):
            yield from _zip_members(name, data)
        else:
            yield from _tar_members(name, _expand(name, data))
    except (
        tarfile.TarError,
        zipfile.BadZipFile,
        EOFError,
        OSError,
        lzma.LZMAError,
        zlib.error,
        NotImplementedError,
        ValueError,
        RuntimeError,
    ) as error:
        yield Problem(name, f"the archive is damaged or cut off ({error})", fatal=True)


def _unsafe(member: str) -> str:
    path = PurePosixPath(member.replace("\\", "/"))
    if path.is_absolute() or (len(member) > 1 and member[1] == ":"):
        return "has an absolute path"
    if ".." in path.parts:
        return "leaves the archive's folder"
    return ""


def _refusal(name: str, bound: str) -> UnreadableError:
    return UnreadableError((Problem(name, bound, expected=_EXPECTED, fatal=True),))


def _zip_members(name: str, data: bytes) -> Iterator[tuple[str, bytes] | Aside | Problem]:
    left = limits.EXPANDED_BYTES
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        for info in sorted(archive.infolist(), key=lambda info: _depth(info.filename)):
            mode = info.external_attr >> 16
            if info.is_dir():
                continue
            if why := _unsafe(info.filename):
                yield Problem(name, f"member {info.filename!r} {why}; refused")
            elif mode and (mode & 0o170000) not in (0, 0o100000):
                yield Problem(name, f"member {info.filename!r} is a link or device; refused")
            elif info.flag_bits & 1:
                yield Problem(name, f"member {info.filename!r} is encrypted")
            elif aside := by_name(_clean(info.filename)):
                yield aside
            else:
                with archive.open(info) as stream:
                    content = stream.read(min(left, limits.FILE_BYTES) + 1)
                left -= len(content)
                if left < 0:
                    raise _refusal(name, _TOO_LARGE)
                yield _clean(info.filename), content


def _tar_members(name: str, data: bytes) -> Iterator[tuple[str, bytes] | Aside | Problem]:
    with tarfile.open(fileobj=io.BytesIO(data), mode="r:") as archive:
        every = list(islice(archive, limits.ARCHIVE_MEMBERS + 1))
        if len(every) > limits.ARCHIVE_MEMBERS:
            raise _refusal(name, _TOO_MANY)
        for info in sorted(every, key=lambda info: _depth(info.name)):
            if info.isdir():
                continue
            if why := _unsafe(info.name):
                yield Problem(name, f"member {info.name!r} {why}; refused")
            elif not info.isfile():
                yield Problem(name, f"member {info.name!r} is a link or device; refused")
            elif aside := by_name(_clean(info.name)):
                yield aside
            elif stream := archive.extractfile(info):
                yield _clean(info.name), stream.read(limits.FILE_BYTES + 1)


def _depth(member: str) -> int:
    """Return how deep a member lies: the main file comes before what lies below it."""
    return len(PurePosixPath(_clean(member)).parts)


def _clean(member: str) -> str:
    return str(PurePosixPath(member.replace("\\", "/")))


def _expand(name: str, data: bytes) -> bytes:
    """Return the bytes of a tar file, expanded within bounds.

    Raises:
        UnreadableError: it expands to more than allowed.
    """
    if data.startswith(b"\x1f\x8b"):
        expanded = zlib.decompressobj(wbits=31).decompress(data, limits.EXPANDED_BYTES + 1)
    elif data.startswith(b"BZh"):
        expanded = bz2.BZ2Decompressor().decompress(data, limits.EXPANDED_BYTES + 1)
    elif data.startswith(b"\xfd7zXZ"):
        expander = lzma.LZMADecompressor(memlimit=limits.XZ_MEMORY_BYTES)
        expanded = expander.decompress(data, limits.EXPANDED_BYTES + 1)
    else:
        return data
    if len(expanded) > limits.EXPANDED_BYTES:
        raise _refusal(name, _TOO_LARGE)
    return expanded
