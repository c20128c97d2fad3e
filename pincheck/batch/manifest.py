"""A manifest (CSV or JSON Lines) to submissions; a broken line costs that submission only."""

import csv
import io
import json
import re
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from attrs import evolve

from pincheck.batch.limits import (
    MAX_ID_CHARS,
    MAX_MANIFEST_BYTES,
    MAX_NOTE_CHARS,
    MAX_SUBMISSIONS,
)
from pincheck.batch.submission import Submission
from pincheck.model.nearest import nearest
from pincheck.model.printable import printable
from pincheck.model.problem import Problem, UnreadableError
from pincheck.model.source import Source

COLUMNS = ("id", "path", "assembly", "note")
NEEDED = ("id", "path")

_SEPARATORS = ",;"
"""Spreadsheets write a semicolon in countries where the comma stands in numbers."""
_MAX_CHARS = {"id": MAX_ID_CHARS, "note": MAX_NOTE_CHARS}


class _LineError(Exception):
    """What is wrong with one line, and the offset of the place in the text."""

    def __init__(self, message: str, at: int) -> None:
        super().__init__(message)
        self.at = at


def read(file: Path) -> tuple[Submission, ...]:
    """Return the submissions that a manifest lists, in its order.

    The first line of a CSV file names its columns, parted by commas or semicolons as all lines
    are then; a line of JSON Lines is one object. A line
    that cannot be used becomes a submission whose `fault` says why, with file, line and column.

    Raises:
        OSError: the file cannot be read.
        UnreadableError: it is no manifest: not UTF-8, too large, a wrong or missing column.
    """
    source = _source(file)
    lines = _json_lines(source) if _is_json(source) else _csv_lines(source)
    found: list[Submission] = []
    first_line: dict[str, int] = {}
    for line, submission in lines:
        if len(found) >= MAX_SUBMISSIONS:
            raise _unreadable(source, 0, f"more than {MAX_SUBMISSIONS} submissions")
        first = first_line.setdefault(submission.id, line)
        if first != line and not submission.fault:
            why = f"{source.name}:{line}: the id {submission.id!r} is on line {first} already"
            submission = evolve(submission, fault=why)
        found.append(submission)
    return tuple(found)


def _source(file: Path) -> Source:
    name = printable(file.name)
    with file.open("rb") as stream:
        data = stream.read(MAX_MANIFEST_BYTES + 1)
    if len(data) > MAX_MANIFEST_BYTES:
        message = f"larger than {MAX_MANIFEST_BYTES // 1024 // 1024} MB: this is no manifest"
        raise UnreadableError((Problem(name, message, fatal=True),))
    try:
        return Source(name, data.decode("utf-8-sig"), data)
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        message = f"line {line} is not UTF-8 text: save the manifest as UTF-8"
        raise UnreadableError((Problem(name, message, fatal=True),)) from None


def _is_json(source: Source) -> bool:
    return source.text.lstrip().startswith("{")


def _json_lines(source: Source) -> Iterator[tuple[int, Submission]]:
    start = 0
    for line, text in enumerate(io.StringIO(source.text, newline=""), 1):
        if text.strip():
            try:
                yield line, _submission(*_json_fields(text.rstrip("\r\n"), start))
            except _LineError as error:
                yield line, _faulty(source, line, error)
        start += len(text)


def _json_fields(text: str, start: int) -> tuple[dict[str, Any], dict[str, int], int]:
    """Return the values of one object, the offset of each key, and that of the line.

    Raises:
        _LineError: it is no object, or has a key that no manifest has.
    """
    try:
        values = json.loads(text)
    except json.JSONDecodeError as error:
        raise _LineError(f"this is no JSON: {error.msg}", start + error.pos) from None
    except (RecursionError, ValueError):
        raise _LineError("this is no JSON that a manifest can hold", start) from None
    if not isinstance(values, dict):
        raise _LineError('expected one object: {"id": ..., "path": ...}', start)
    places = {key: start + max(0, text.find(json.dumps(key, ensure_ascii=False))) for key in values}
    for key in values:
        if key not in COLUMNS:
            raise _LineError(_unknown(key), places[key])
    return values, places, start


def _csv_lines(source: Source) -> Iterator[tuple[int, Submission]]:
    records = _csv_records(source)
    header, places = next(((h, p) for _, h, p in records if any(h)), ([""], [0]))
    columns = [name.strip().lower() for name in header]
    for name, at in zip(columns, places, strict=True):
        if name not in COLUMNS:
            raise _unreadable(source, at, _unknown(name))
        if columns.count(name) > 1:
            raise _unreadable(source, at, f"the column {name!r} is there twice")
    for name in NEEDED:
        if name not in columns:
            message = f"the column {name!r} is missing; expected {', '.join(COLUMNS)}"
            raise _unreadable(source, places[0], message)
    for line, fields, places in records:
        if not any(field.strip() for field in fields):
            continue
        try:
            if len(fields) > len(columns):
                message = f"{len(fields)} fields where the first line names {len(columns)}"
                raise _LineError(message, places[len(columns)])
            yield (
                line,
                _submission(
                    dict(zip(columns, fields, strict=False)),
                    dict(zip(columns, places, strict=False)),
                    places[0],
                ),
            )
        except _LineError as error:
            yield line, _faulty(source, line, error)


def _csv_records(source: Source) -> Iterator[tuple[int, list[str], list[int]]]:
    """Yield line number, fields and the offset of each field of every record.

    Raises:
        UnreadableError: a quoted field is never closed: what follows belongs to nobody.
    """
    text, start, line = source.text, 0, 1
    separator = _separator(text)
    sign = re.compile(f'["\n{separator}]')
    while start < len(text):
        places, opened, end = [start], -1, start
        for found in sign.finditer(text, start):
            end = found.start()
            if found[0] == '"':
                opened = end if opened < 0 else -1
            elif opened < 0 and found[0] == separator:
                places.append(end + 1)
            elif opened < 0:
                break
        else:
            end = len(text)
        if opened >= 0:
            raise _unreadable(source, opened, "this quoted field is never closed")
        record = text[start : end + 1]
        try:
            fields = next(csv.reader(io.StringIO(record, newline=""), delimiter=separator), [])
        except csv.Error as error:
            raise _unreadable(source, start, f"this is no CSV: {error}") from None
        yield line, fields or [""], places[: max(1, len(fields))]
        line += record.count("\n")
        start = end + 1


def _separator(text: str) -> str:
    """Return what parts the first line that holds anything: the sign it has most of."""
    first = text.lstrip().partition("\n")[0]
    return max(_SEPARATORS, key=first.count)


def _submission(values: Mapping[str, Any], places: Mapping[str, int], start: int) -> Submission:
    texts = {}
    for key, value in values.items():
        if isinstance(value, int) and not isinstance(value, bool):
            value = str(value)
        if value is None:
            value = ""
        if not isinstance(value, str):
            raise _LineError(f"{key} is no text", places[key])
        texts[key] = value.strip()
        if len(texts[key]) > _MAX_CHARS.get(key, 4_096):
            raise _LineError(f"{key} is longer than {_MAX_CHARS.get(key, 4_096)}", places[key])
    for key in NEEDED:
        if not texts.get(key):
            raise _LineError(f"{key} is missing", places.get(key, start))
    texts["path"] = texts["path"].replace("\\", "/")
    return Submission(**{**texts, "id": printable(texts["id"])})


def _faulty(source: Source, line: int, error: _LineError) -> Submission:
    return Submission(f"line {line}", "", fault=f"{source.span(error.at, error.at)}: {error}")


def _unknown(name: str) -> str:
    near = nearest(name, COLUMNS)
    hint = f"; did you mean {near!r}?" if near else f"; expected {', '.join(COLUMNS)}"
    return f"{printable(name[:60])!r} is no column of a manifest{hint}"


def _unreadable(source: Source, at: int, message: str) -> UnreadableError:
    span = source.span(at, at)
    problem = Problem(source.name, message, span, source.line(span.line)[:200], fatal=True)
    return UnreadableError((problem,))
