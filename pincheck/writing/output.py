"""A text to where the user wants it: a file replaced whole, or a stream such as a pipe."""

import os
import re
import stat
import sys
from collections.abc import Iterable
from pathlib import Path

from pincheck.writing.change import WriteRefusedError
from pincheck.writing.fresh import fresh, like, sweep, write_over
from pincheck.writing.signals import StoppedError, undisturbed

_HANDLE = re.compile(r"/dev/fd/(\d+)|/proc/self/fd/(\d+)|/dev/(std(?:in|out|err))")


def put(file: Path, texts: Iterable[str]) -> None:
    """Write texts: to a device, a pipe or an open handle as they come, to a file all or none.

    A file that is there keeps owner, group, mode, attributes and its other names; where a link
    leads to it, the link stays.

    Raises:
        WriteRefusedError: it cannot be written, or is a folder; the message names the file.
    """
    try:
        handle = _stream(file)
        if handle is None:
            _replace(file.resolve(), texts)
            return
        with os.fdopen(handle, "w", encoding="utf-8", newline="") as stream:
            stream.writelines(texts)
    except BrokenPipeError:
        return  # its reader has had enough
    except StoppedError:
        raise WriteRefusedError(f"stopped; {file} is as it was") from None
    except (OSError, RuntimeError) as error:
        why = getattr(error, "strerror", "") or error
        raise WriteRefusedError(f"{file} cannot be written: {why}") from error


def _stream(file: Path) -> int | None:
    """Return an open handle of what takes its text as it comes, None for a file or none yet."""
    if named := _HANDLE.fullmatch(os.path.normpath(file.absolute())):
        number = named[1] or named[2]
        sys.stdout.flush()
        return os.dup(int(number) if number else ("stdin", "stdout", "stderr").index(named[3]))
    try:
        about = file.stat()
    except FileNotFoundError:
        return None
    for own in (sys.__stdout__, sys.__stderr__):
        if own and os.path.samestat(about, os.fstat(own.fileno())):
            sys.stdout.flush()
            return os.dup(own.fileno())
    if stat.S_ISREG(about.st_mode):
        return None
    return os.open(file, os.O_WRONLY | getattr(os, "O_NOCTTY", 0))


def _replace(path: Path, texts: Iterable[str]) -> None:
    sweep(path.parent)
    there = path.exists()
    if there and not os.access(path, os.W_OK):
        raise OSError(0, "it is write-protected")
    with undisturbed() as pause:
        same = like(path) if there else fresh(path.parent, 0o666)
        made = same or fresh(path.parent)
        try:
            with os.fdopen(os.dup(made.handle), "w", encoding="utf-8", newline="") as stream:
                for text in texts:
                    pause()
                    stream.write(text)
            pause()
            if same:
                made.replace(path)
                return
            write_over(path, made.path.read_bytes(), path.stat().st_size)
        except BaseException:
            made.discard()
            raise
        made.discard()
