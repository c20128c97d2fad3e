"""A manifest (CSV or JSON Lines) to submissions; a broken line costs that submission only."""

import io
import json
import re
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from attrs import evolve

from pincheck.batch.records import CsvRecord, UnclosedError, records
from pincheck.batch.sizes import (
    MAX_ID_CHARS,
    MAX_MANIFEST_BYTES,
    MAX_NOTE_CHARS,
    MAX_SUBMISSIONS,
)
from pincheck.batch.submission import Submission
from pincheck.model.frozen import frozen
from pincheck.model.nearest import nearest
from pincheck.model.printable import printable
from pincheck.model.problem import Problem, UnreadableError
from pincheck.model.source import Source
from pincheck.reports.sentences import plural

COLUMNS = ("id", "path", "assembly", "note")
NEEDED = ("id", "path")

_BARE_CR = re.compile(r"\r(?!\n)")
_MAX_CHARS = {"id": MAX_ID_CHARS, "note": MAX_NOTE_CHARS}


class _LineError(Exception):
    """What is wrong with one line, and the offset of the place in the text."""

    def __init__(self, message: str, at: int) -> None:
        super().__init__(message)
        self.at = at


@frozen
class _Row:
    """Lines of a manifest; `submission` is None for those that name the columns or are empty."""

    line: int
    lines: int
    submission: Submission | None = None


@frozen
class Manifest:
    """What a manifest lists, in its order, and how its lines were read, in words."""

    submissions: tuple[Submission, ...]
    account: str


def read(file: Path) -> Manifest:
    """Read a manifest; every line of it is accounted for.

    The first line of a CSV file names its columns, parted by commas or semicolons as all lines
    are then; a line of JSON Lines is one object. A line that cannot be used becomes a submission
    whose `fault` says why, with file, line and column.

    Raises:
        OSError: the file cannot be read.
        UnreadableError: it is no manifest: not UTF-8, too large, a wrong or missing column, a
            quote that is never closed.
    """
    source = _source(file)
    found: list[Submission] = []
    first_line: dict[str, int] = {}
    lines = rows = 0
    for row in _json_rows(source) if _is_json(source) else _csv_rows(source):
        lines, rows = lines + row.lines, rows + 1
        if (submission := row.submission) is None:
            continue
        if len(found) >= MAX_SUBMISSIONS:
            raise _unreadable(source, 0, f"more than {MAX_SUBMISSIONS} submissions")
        first = first_line.setdefault(submission.id, row.line)
        if first != row.line and not submission.fault:
            why = f"{source.name}:{row.line}: the id {submission.id!r} is on line {first} already"
            submission = evolve(submission, fault=why)
        found.append(submission)
    text = source.text
    if lines != text.count("\n") + (not text.endswith("\n")):
        raise _unreadable(source, 0, f"only {lines} of its lines could be told apart")
    within = f", {lines - rows} of them within quoted fields" if lines > rows else ""
    account = f"{plural(len(found), 'submission')} on {plural(lines, 'line')}{within}"
    return Manifest(tuple(found), f"{source.name}: {account}")


def _source(file: Path) -> Source:
    name = printable(file.name)
    with file.open("rb") as stream:
        data = stream.read(MAX_MANIFEST_BYTES + 1)
    if len(data) > MAX_MANIFEST_BYTES:
        message = f"larger than {MAX_MANIFEST_BYTES // 1024 // 1024} MB: this is no manifest"
        raise UnreadableError((Problem(name, message, fatal=True),))
    try:
        # A bare CR ends a line as well: of the same length, so that every place stays.
        return Source(name, _BARE_CR.sub("\n", data.decode("utf-8-sig")), data)
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        message = f"line {line} is not UTF-8 text: save the manifest as UTF-8"
        raise UnreadableError((Problem(name, message, fatal=True),)) from None


def _is_json(source: Source) -> bool:
    return source.text.lstrip().startswith("{")


def _json_rows(source: Source) -> Iterator[_Row]:
    start = 0
    for line, text in enumerate(io.StringIO(source.text, newline="\n"), 1):
        submission = None
        if text.strip():
            try:
                submission = _submission(*_json_fields(text.rstrip("\r\n"), start))
            except _LineError as error:
                submission = _faulty(source, line, error)
        yield _Row(line, 1, submission)
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


def _csv_rows(source: Source) -> Iterator[_Row]:
    try:
        yield from _rows(source, records(source.text))
    except UnclosedError as error:
        raise _unreadable(source, error.at, str(error)) from None


def _rows(source: Source, found: Iterator[CsvRecord]) -> Iterator[_Row]:
    columns: list[str] = []
    for record in found:
        if not any(field.strip() for field in record.fields):
            yield _Row(record.line, record.lines)
        elif not columns:
            columns = _columns(source, record)
            yield _Row(record.line, record.lines)
        else:
            try:
                submission = _of_record(record, columns)
            except _LineError as error:
                submission = _faulty(source, record.line, error)
            yield _Row(record.line, record.lines, submission)
    if not columns:
        raise _unreadable(source, 0, _unknown(""))


def _columns(source: Source, header: CsvRecord) -> list[str]:
    columns = [name.strip().lower() for name in header.fields]
    for name, at in zip(columns, header.places, strict=True):
        if name not in COLUMNS:
            raise _unreadable(source, at, _unknown(name))
        if columns.count(name) > 1:
            raise _unreadable(source, at, f"the column {name!r} is there twice")
    for name in NEEDED:
        if name not in columns:
            message = f"the column {name!r} is missing; expected {', '.join(COLUMNS)}"
            raise _unreadable(source, header.places[0], message)
    return columns


def _of_record(record: CsvRecord, columns: list[str]) -> Submission:
    if record.odd:
        raise _LineError(record.odd, record.odd_at)
    if len(record.fields) > len(columns):
        message = f"{len(record.fields)} fields where the first line names {len(columns)}"
        raise _LineError(message, record.places[len(columns)])
    values = dict(zip(columns, record.fields, strict=False))
    places = dict(zip(columns, record.places, strict=False))
    return _submission(values, places, record.places[0])


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
