"""One submission from its files to a record: what a worker does."""

from functools import cache
from pathlib import Path

from attrs import evolve

from pincheck import api
from pincheck.batch import record
from pincheck.batch.assign import AssignmentRule, Offer, Offered, UnassignedError, assign, digest_of
from pincheck.batch.digest import content
from pincheck.check import check
from pincheck.claims import Words, vocabularies
from pincheck.intake import Machine, gather, read
from pincheck.model.finding import Result
from pincheck.model.frozen import frozen
from pincheck.model.problem import UnreadableError
from pincheck.model.source import Source
from pincheck.model.wiring import Assembly
from pincheck.reports.json import Json
from pincheck.wiring import load


class ChangedError(Exception):
    """Files changed since they were looked at; says which."""


@frozen
class Desk:
    """What every submission of a batch is checked with; `words` are files of a fork's own."""

    offer: Offer
    rules: tuple[AssignmentRule, ...] = ()
    words: tuple[Source, ...] = ()


@frozen
class Task:
    """One submission for a worker: where it is, its path for rules, what the manifest names."""

    file: Path
    path: str
    assembly: str
    content: bytes


@frozen
class Examined:
    """One submission checked: its machine, assembly and result."""

    machine: Machine
    offered: Offered
    assigned_by: str
    result: Result


@frozen
class SubmissionAnswer:
    """What came of a task: the assembly's name (empty for none), what assigned it, the record.

    `lasting` says that the same files will come to the same record.
    """

    assembly: str
    assigned_by: str
    record: Json
    lasting: bool = True


def answer(desk: Desk, task: Task) -> SubmissionAnswer:
    """Check one submission; whatever is wrong with it becomes its record."""
    try:
        examined = examine(desk, task)
        if content(task.file) != task.content:
            raise ChangedError("its files changed while they were read")
    except UnreadableError as error:
        reason = next((str(p) for p in error.problems if p.fatal), str(error.problems[-1]))
        return SubmissionAnswer("", "", record.could_not_check(reason, error.problems))
    except UnassignedError as error:
        return SubmissionAnswer("", "", record.could_not_check(str(error)))
    except ChangedError as error:
        return SubmissionAnswer("", "", record.could_not_check(str(error)), lasting=False)
    offered = examined.offered
    found = record.of_result(examined.result, offered.revisions)
    return SubmissionAnswer(offered.name, examined.assigned_by, found)


def examine(desk: Desk, task: Task) -> Examined:
    """Take in, read, assign and check one submission.

    Raises:
        UnreadableError: there is no configuration in it, or that of several machines.
        UnassignedError: no assembly fits.
        ChangedError: the assembly is no longer what was offered.
    """
    handed = gather([task.file])
    machine = api.machine_of(handed)
    reading = read(machine)
    offered, by = assign(desk.offer, desk.rules, task.path, task.assembly, handed.sources, reading)
    result = check(reading, assembly_of(offered), words_of(desk).get(reading.style))
    result = evolve(result, problems=(*machine.problems, *result.problems))
    result = api.explain(result, offered.file, words_of(desk).get(reading.style))
    return Examined(machine, offered, by, result)


@cache
def _vocabularies(words: tuple[Source, ...]) -> Words:
    return vocabularies(words)


def words_of(desk: Desk) -> Words:
    """Return the vocabularies that a fork's words make, once a process; empty without any.

    Raises:
        UnreadableError: the files have mistakes.
    """
    return _vocabularies(desk.words) if desk.words else {}


@cache
def assembly_of(offered: Offered) -> Assembly:
    """Load an offered assembly, once a process.

    Raises:
        ChangedError: it is no longer what was offered.
    """
    assembly = load(offered.file)
    if digest_of(assembly) != offered.digest:
        raise ChangedError(f"the files of {offered.name} changed since the run began")
    return assembly
