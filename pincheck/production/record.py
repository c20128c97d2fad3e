"""The record of all units: a file that only grows, a line a test of a unit.

Each line carries a check sum and is on the disk before its unit is called recorded. A command that
is killed in mid-write leaves a line that is cut off: whoever writes next ends that line and goes
on below it, and every reader says that its unit is not recorded. Nothing is ever taken away.
"""

import json
import os
import stat
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any
from zlib import crc32

from pincheck.model.frozen import frozen
from pincheck.production.judge import JudgedUnit, UnitState
from pincheck.writing.change import WriteRefusedError
from pincheck.writing.fresh import settle, write_all

try:
    import fcntl
except ImportError:  # no such locks on this system: one station writes at a time
    fcntl = None  # type: ignore[assignment]

FORM = 1
_MOST_BYTES = 256 * 1024 * 1024
"""Tests of 100,000 units with 60 readings each: beyond it a new record is begun."""

_OPEN = os.O_RDWR | os.O_APPEND | os.O_CREAT | getattr(os, "O_NONBLOCK", 0)


@frozen
class RecordedUnit:
    """One test of one unit as it was recorded; `attempt` counts from 1, `at` is UTC."""

    serial: str
    attempt: int
    board: str
    digest: str
    at: str
    state: UnitState
    readings: Mapping[str, float]
    failed: tuple[str, ...] = ()
    missing: tuple[str, ...] = ()


@frozen
class UnitRecord:
    """All that a record holds, in the order of testing; `torn` are lines that were cut off."""

    units: tuple[RecordedUnit, ...] = ()
    torn: tuple[int, ...] = ()

    def of(self, serial: str) -> tuple[RecordedUnit, ...]:
        """Return the tests of one unit."""
        return tuple(it for it in self.units if it.serial == serial)

    @property
    def last(self) -> tuple[RecordedUnit, ...]:
        """The last test of every unit."""
        return tuple({it.serial: it for it in self.units}.values())


class TestedBeforeError(WriteRefusedError):
    """A unit has been recorded before and is not marked as tested again."""


def load(file: Path) -> UnitRecord:
    """Return what a record holds.

    Raises:
        WriteRefusedError: it is no record, or too large.
        OSError: it cannot be read.
    """
    handle = os.open(file, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0))
    try:
        return _parsed(_content(handle, file), file)
    finally:
        os.close(handle)


def append(
    file: Path, board: str, digest: str, units: Sequence[JudgedUnit], at: str, *, retest: bool
) -> tuple[UnitRecord, tuple[RecordedUnit, ...]]:
    """Record units, all or, where one may not be, none; return what was there and what is new.

    Raises:
        TestedBeforeError: a serial number is there already, or is not with `retest`.
        WriteRefusedError: it is no record, or it cannot be written.
    """
    there = file.exists()
    try:
        handle = os.open(file, _OPEN, 0o666)
    except OSError as error:
        raise WriteRefusedError(f"{file} cannot be written: {error.strerror}") from error
    try:
        if fcntl:
            fcntl.flock(handle, fcntl.LOCK_EX)  # another station is done in milliseconds
        data = _content(handle, file)
        before = _parsed(data, file)
        made = tuple(_new(before, board, digest, units, at, retest))
        text = b"".join(map(_line, made))
        write_all(handle, text if data.endswith(b"\n") or not data else b"\n" + text)
        os.fsync(handle)
        if not there:
            settle(file.parent)
        return before, made
    except OSError as error:
        raise WriteRefusedError(f"{file} cannot be written: {error.strerror or error}") from error
    finally:
        os.close(handle)


def _new(
    before: UnitRecord,
    board: str,
    digest: str,
    units: Sequence[JudgedUnit],
    at: str,
    retest: bool,
) -> Iterator[RecordedUnit]:
    for unit in units:
        past = before.of(unit.serial)
        if past and not retest:
            raise TestedBeforeError(
                f"{unit.serial} was recorded as {past[-1].state} at {past[-1].at}: say --retest "
                "to record it again; nothing was recorded"
            )
        if retest and not past:
            raise TestedBeforeError(
                f"{unit.serial} was never recorded: leave out --retest; nothing was recorded"
            )
        yield RecordedUnit(
            unit.serial,
            len(past) + 1,
            board,
            digest,
            at,
            unit.state,
            unit.readings,
            unit.failed,
            unit.missing,
        )


def _content(handle: int, file: Path) -> bytes:
    about = os.fstat(handle)
    if not stat.S_ISREG(about.st_mode):
        raise WriteRefusedError(f"{file} is no regular file")
    if about.st_size > _MOST_BYTES:
        raise WriteRefusedError(f"{file} is full, {_MOST_BYTES // 1024**2} MiB: begin another")
    with os.fdopen(os.dup(handle), "rb") as stream:
        stream.seek(0)
        return stream.read()


def _parsed(data: bytes, file: Path) -> UnitRecord:
    units, torn = [], []
    for number, line in enumerate(data.split(b"\n"), 1):
        if not line:
            continue
        unit = _unit(line)
        if unit:
            units.append(unit)
        else:
            torn.append(number)
    if torn and not units and not data.startswith(_START):
        raise WriteRefusedError(f"{file} is no record of units: nothing was written")
    return UnitRecord(tuple(units), tuple(torn))


_START = b'{"form": '


def _line(unit: RecordedUnit) -> bytes:
    values: dict[str, Any] = {
        "form": FORM,
        "serial": unit.serial,
        "attempt": unit.attempt,
        "board": unit.board,
        "digest": unit.digest,
        "at": unit.at,
        "state": unit.state,
        "failed": list(unit.failed),
        "missing": list(unit.missing),
        # JSON has no infinity: an open circuit is null.
        "readings": {k: None if v == float("inf") else v for k, v in unit.readings.items()},
    }
    return _summed(values) + b"\n"


def _summed(values: Mapping[str, Any]) -> bytes:
    bare = json.dumps(values, ensure_ascii=True)
    return f'{bare[:-1]}, "sum": "{crc32(bare.encode()):08x}"}}'.encode()


def _unit(line: bytes) -> RecordedUnit | None:
    """Return the unit of a line, None where the line is not what was written."""
    try:
        values = json.loads(line)
        del values["sum"]
        if _summed(values) != line or values.pop("form") != FORM:
            return None
        readings = {k: float("inf") if v is None else v for k, v in values["readings"].items()}
        lists = {name: tuple(values[name]) for name in ("failed", "missing")}
        return RecordedUnit(**{**values, **lists, "readings": readings})
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError):
        return None
