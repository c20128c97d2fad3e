"""What is remembered between runs: every result, and the outcome of the last runs."""

import json
import sqlite3
from collections.abc import Iterator
from pathlib import Path
from types import TracebackType
from typing import Any, Self

from pincheck.batch.record import STATES, SubmissionState
from pincheck.batch.submission import Submission
from pincheck.model.finding import Severity
from pincheck.model.frozen import frozen
from pincheck.model.printable import printable
from pincheck.reports.json import Json

_APPLICATION = 0x70696E63
_VERSION = 1
_TABLES = """
CREATE TABLE results (
    key BLOB PRIMARY KEY, holds TEXT NOT NULL, rank INTEGER NOT NULL, danger INTEGER NOT NULL,
    fault INTEGER NOT NULL, advice INTEGER NOT NULL, record TEXT NOT NULL
) WITHOUT ROWID;
CREATE TABLE assigned (
    question BLOB PRIMARY KEY, assembly TEXT NOT NULL, assigned_by TEXT NOT NULL
) WITHOUT ROWID;
CREATE TABLE runs (number INTEGER PRIMARY KEY, finished INTEGER NOT NULL);
CREATE TABLE outcomes (
    run INTEGER NOT NULL, position INTEGER NOT NULL, id TEXT NOT NULL, path TEXT NOT NULL,
    note TEXT NOT NULL, assembly TEXT NOT NULL, assigned_by TEXT NOT NULL,
    question BLOB NOT NULL, key BLOB NOT NULL, PRIMARY KEY (run, position)
) WITHOUT ROWID;
"""

ALWAYS = ""
"""A result that holds as long as its key does."""

ONCE = "once"
"""A result that says nothing about the next time, such as a process ended from outside."""


class StoreError(Exception):
    """The store cannot be used; says why."""


@frozen
class OutcomeRow:
    """One submission's outcome in a run."""

    id: str
    path: str
    note: str
    assembly: str
    assigned_by: str
    record: Json


class Store:
    """The results of one batch in an SQLite file; a context manager.

    A result's key stands for the submission's files, those of its assembly, and this program.
    A question stands for everything that decides which assembly a submission gets.
    """

    def __init__(self, file: Path) -> None:
        """Open or begin a store.

        Raises:
            StoreError: another run has it open, or it is no store of this program.
        """
        try:
            file.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
            self.db = sqlite3.connect(file, isolation_level=None, timeout=0.5)
            self._open()
        except sqlite3.OperationalError as error:
            why = "another run has it open" if "locked" in str(error) else str(error)
            raise StoreError(f"the store {file}: {why}") from None
        except sqlite3.DatabaseError:
            raise StoreError(f"{file} is no store of this program, nothing was changed") from None
        self.run = self._begin()

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        if self.db.in_transaction:
            self.db.execute("COMMIT")
        self.db.close()

    def _open(self) -> None:
        (application,) = self._one("PRAGMA application_id")
        (version,) = self._one("PRAGMA user_version")
        (tables,) = self._one("SELECT count(*) FROM sqlite_master")
        if application != _APPLICATION and (application or tables):
            raise sqlite3.DatabaseError
        # Alone in the file: no run can meet another, and no shared memory beside it is needed.
        self.db.execute("PRAGMA locking_mode = EXCLUSIVE")
        self.db.execute("PRAGMA journal_mode = WAL")
        self.db.execute("PRAGMA synchronous = NORMAL")
        self.db.execute("BEGIN EXCLUSIVE")
        if tables and version != _VERSION:
            for table in ("results", "assigned", "runs", "outcomes"):
                self.db.execute(f"DROP TABLE IF EXISTS {table}")
            tables = 0
        if not tables:
            for statement in _TABLES.split(";"):
                self.db.execute(statement)
            self.db.execute(f"PRAGMA application_id = {_APPLICATION}")
            self.db.execute(f"PRAGMA user_version = {_VERSION}")
        self.db.execute("COMMIT")

    def _begin(self) -> int:
        """Go on with the run that was cut off, or begin the next; return its number.

        The outcomes of one cut off are taken down again; its results are what is not done twice.
        """
        last, finished = self._one("SELECT coalesce(max(number), 0), finished FROM runs")
        run = int(last) + 1 if finished or not last else int(last)
        self.db.execute("BEGIN")
        self.db.execute("INSERT OR REPLACE INTO runs VALUES (?, 0)", (run,))
        self.db.execute("DELETE FROM outcomes WHERE run = ?", (run,))
        return run

    def assigned(self, question: bytes) -> tuple[str, str] | None:
        """Return the assembly's name and what assigned it; None where it is not known."""
        sql = "SELECT assembly, assigned_by FROM assigned WHERE question = ?"
        found: tuple[str, str] | None = self.db.execute(sql, (question,)).fetchone()
        return found

    def rank(self, key: bytes, bounds: str) -> int | None:
        """Return the rank of a result that still holds; None where there is none.

        A lack of time or memory holds only for the bounds it was met in.
        """
        sql = "SELECT rank FROM results WHERE key = ? AND holds IN (?, ?)"
        found = self.db.execute(sql, (key, ALWAYS, bounds)).fetchone()
        return None if found is None else int(found[0])

    def add(
        self, question: bytes, key: bytes, assembly: str, by: str, record: Json, holds: str
    ) -> int:
        """Keep a result, at once and for good; return its rank."""
        counts = record["counts"]
        rank = STATES.index(record["state"])
        row = key, holds, rank, counts["danger"], counts["fault"], counts["advice"]
        text = json.dumps(record, ensure_ascii=True, separators=(",", ":"))
        self.db.execute("INSERT OR REPLACE INTO results VALUES (?,?,?,?,?,?,?)", (*row, text))
        self.db.execute("INSERT OR REPLACE INTO assigned VALUES (?,?,?)", (question, assembly, by))
        return rank

    def note(
        self,
        position: int,
        submission: Submission,
        question: bytes,
        key: bytes,
        assembly: str,
        by: str,
    ) -> None:
        """Note which result is the outcome of a submission in this run."""
        named = printable(submission.path), submission.note, assembly, by
        row = self.run, position, submission.id, *map(printable, named), question, key
        self.db.execute("INSERT INTO outcomes VALUES (?,?,?,?,?,?,?,?,?)", row)

    def keep(self) -> None:
        """Make sure of everything so far."""
        self.db.execute("COMMIT")
        self.db.execute("BEGIN")

    def finish(self) -> None:
        """Close this run; forget what neither it nor the one before came to."""
        self.db.execute("UPDATE runs SET finished = 1 WHERE number = ?", (self.run,))
        self.db.execute("DELETE FROM runs WHERE number < ?", (self.run - 1,))
        self.db.execute("DELETE FROM outcomes WHERE run < ?", (self.run - 1,))
        self.db.execute("DELETE FROM results WHERE key NOT IN (SELECT key FROM outcomes)")
        self.db.execute(
            "DELETE FROM assigned WHERE question NOT IN (SELECT question FROM outcomes)"
        )
        self.db.execute("COMMIT")

    @property
    def ran_before(self) -> bool:
        """Whether there is a finished run before this one."""
        sql = "SELECT count(*) FROM runs WHERE number = ? AND finished"
        return bool(self.db.execute(sql, (self.run - 1,)).fetchone()[0])

    def total(self, severity: Severity) -> int:
        """Return how many findings of this severity this run came to."""
        sql = (
            f"SELECT coalesce(sum({severity.word}), 0) FROM outcomes "
            "JOIN results USING (key) WHERE run = ?"
        )
        return int(self.db.execute(sql, (self.run,)).fetchone()[0])

    def count(self, state: SubmissionState) -> int:
        """Return how many submissions of this run ended in a state."""
        sql = "SELECT count(*) FROM outcomes JOIN results USING (key) WHERE run = ? AND rank = ?"
        found = self.db.execute(sql, (self.run, STATES.index(state))).fetchone()
        return int(found[0])

    def rows(self, worst_first: bool = False) -> Iterator[OutcomeRow]:
        """Yield the outcomes of this run, in the order of the input or worst first."""
        worst = "rank DESC, danger DESC, fault DESC, advice DESC, " if worst_first else ""
        sql = (
            "SELECT id, path, note, assembly, assigned_by, record FROM outcomes "
            f"JOIN results USING (key) WHERE run = ? ORDER BY {worst}position"
        )
        for id_, path, note, assembly, by, text in self.db.execute(sql, (self.run,)):
            yield OutcomeRow(id_, path, note, assembly, by, json.loads(text))

    def _one(self, sql: str) -> tuple[Any, ...]:
        found: tuple[Any, ...] = self.db.execute(sql).fetchone()
        return found
