"""A whole batch: what is known is taken from the store, the rest is checked and kept."""

import os
from collections.abc import Iterator, Sequence
from functools import partial
from pathlib import Path

from pincheck.batch import digest, record
from pincheck.batch.examine import Desk, SubmissionAnswer, Task, answer
from pincheck.batch.pool import Bounds, Failure, Pool
from pincheck.batch.progress import Progress
from pincheck.batch.store import ALWAYS, ONCE, Store
from pincheck.batch.submission import Submission, SubmissionRefusedError, locate
from pincheck.model.frozen import frozen

_DANGER = record.STATES.index("danger")


@frozen
class _Asked:
    """A submission on its way: its place in the input, its question, its content's digest."""

    position: int
    submission: Submission
    question: bytes
    content: bytes


def cores() -> int:
    """Return how many cores this process may use."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


def run(
    folder: Path,
    submissions: Sequence[Submission],
    desk: Desk,
    store: Store,
    processes: int,
    bounds: Bounds,
    progress: Progress,
) -> int:
    """Bring the outcome of every submission into the store; return how many were checked anew.

    Whatever ends the run, what was checked until then stays in the store.
    """
    running = _Run(folder.resolve(), desk, store, bounds, progress)
    checked = 0
    with Pool(partial(answer, desk), processes, bounds) as pool:
        for asked, outcome in pool.answers(running.unknown(submissions)):
            running.keep(asked, outcome)
            checked += 1
    store.finish()
    return checked


class _Run:
    def __init__(
        self, folder: Path, desk: Desk, store: Store, bounds: Bounds, progress: Progress
    ) -> None:
        self._folder, self._desk, self._store = folder, desk, store
        self._bounds, self._progress = str(bounds), progress
        self._by_name = {offered.name: offered for offered in desk.offer.assemblies}
        titles = [f"{offered.name}\n{offered.title}" for offered in desk.offer.assemblies]
        self._names = digest.joined(*titles)
        words = (part for source in desk.words for part in (source.name, source.data))
        self._program = digest.joined(digest.program(), *words)
        self._rules = digest.joined(*map(repr, desk.rules)) if desk.rules else b""
        # A single assembly is taken for every submission; one of several is not.
        self._single = b"single" if len(titles) == 1 else b""

    def unknown(self, submissions: Sequence[Submission]) -> Iterator[tuple[_Asked, Task]]:
        """Yield what must be checked; note the outcome of all else."""
        for position, submission in enumerate(submissions):
            try:
                if submission.fault:
                    raise SubmissionRefusedError(submission.fault)
                file = locate(self._folder, submission.path)
            except SubmissionRefusedError as error:
                self._refused(position, submission, str(error))
                continue
            content = digest.content(file)
            place = submission.path if self._desk.rules else ""
            question = digest.joined(
                content, submission.assembly, place, self._rules, self._single, self._program
            )
            asked = _Asked(position, submission, question, content)
            if not self._remembered(asked):
                yield asked, Task(file, submission.path, submission.assembly, content)

    def keep(self, asked: _Asked, outcome: SubmissionAnswer | Failure) -> None:
        """Keep what a worker came to."""
        if isinstance(outcome, Failure):
            holds = self._bounds if outcome.lasting else ONCE
            outcome = SubmissionAnswer("", "", record.could_not_check(outcome.reason))
        else:
            holds = ALWAYS if outcome.lasting else ONCE
        key = self._key(asked, outcome.assembly)
        named = outcome.assembly, outcome.assigned_by
        rank = self._store.add(asked.question, key, *named, outcome.record, holds)
        self._done(asked.position, asked.submission, asked.question, key, *named, rank)
        self._store.keep()

    def _remembered(self, asked: _Asked) -> bool:
        known = self._store.assigned(asked.question)
        if known is None or (known[0] and known[0] not in self._by_name):
            return False
        key = self._key(asked, known[0])
        rank = self._store.rank(key, self._bounds)
        if rank is None:
            return False
        self._done(asked.position, asked.submission, asked.question, key, *known, rank)
        return True

    def _refused(self, position: int, submission: Submission, reason: str) -> None:
        key = digest.joined("refused", reason)
        rank = self._store.add(key, key, "", "", record.could_not_check(reason), ALWAYS)
        self._done(position, submission, key, key, "", "", rank)

    def _done(
        self,
        position: int,
        submission: Submission,
        question: bytes,
        key: bytes,
        assembly: str,
        by: str,
        rank: int,
    ) -> None:
        self._store.note(position, submission, question, key, assembly, by)
        self._progress.add(danger=rank == _DANGER)

    def _key(self, asked: _Asked, assembly: str) -> bytes:
        """Return the key of a result; without an assembly it hangs on which could be had."""
        if assembly:
            against = self._by_name[assembly].digest
            return digest.joined(asked.content, against, self._program)
        return digest.joined(asked.question, self._names)
