"""The file that keeps a walk's readings, so that whoever left it goes on where it was."""

from pathlib import Path

import tomli_w
from attrs import evolve

from pincheck.intake import gather
from pincheck.model.nearest import nearest
from pincheck.model.problem import Problem, UnreadableError
from pincheck.resources import folder
from pincheck.toml.document import parse
from pincheck.toml.table import Field, Tables
from pincheck.writing.output import put

ENDING = ".readings"
_HEAD = "# What was read at the first power-on, by step: as typed, yes, no, or done (unread).\n"
_KEYS = {
    "machine": Field("text", "the assembly's name", needed=True),
    "readings": Field("any", "the table of readings"),
}


def beside(wiring: Path) -> Path | None:
    """Return where the readings of an assembly are kept; None for the installed demo's."""
    path = wiring.resolve().with_suffix(ENDING)
    return None if path.is_relative_to(folder("configs").resolve()) else path


def load(path: Path, machine: str) -> dict[str, str]:
    """Return the readings in a file; none where there is no such file yet.

    Raises:
        UnreadableError: with every mistake in the file, or it is another machine's.
    """
    if not path.exists():
        return {}
    handed = gather([path])
    if handed.problems:
        raise UnreadableError(handed.problems)
    tables = Tables(parse(evolve(handed.sources[0], name=path.name)))
    said = tables.read((), _KEYS)
    answers = tables.texts(("readings",), "a reading")
    if (whose := said.get("machine")) and whose != machine:
        tables.wrong(("machine",), f"these are the readings of {whose}", f'"{machine}"')
    if tables.problems:
        raise UnreadableError(tuple(tables.problems))
    return answers


def store(path: Path, machine: str, step: str, typed: str | None) -> None:
    """Put one reading into a file, or take it out; a kill leaves the file before or after.

    Raises:
        UnreadableError: what is there is no such file; it stays.
        WriteRefusedError: it cannot be written.
    """
    answers = load(path, machine)
    answers.pop(step, None)
    if typed is not None:
        answers[step] = typed
    put(path, (_HEAD, tomli_w.dumps({"machine": machine, "readings": answers})))


def unknown(answers: dict[str, str], steps: tuple[str, ...], name: str) -> tuple[Problem, ...]:
    """Return a problem for each reading of a step that the walk does not have."""
    return tuple(
        Problem(name, f"the walk has no step {step!r}", nearest=nearest(step, steps))
        for step in answers
        if step not in steps
    )
