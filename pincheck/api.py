"""The whole job in a handful of calls, for programs and for the commands.

machine = load_configuration("my-printer/")
assembly = load_wiring("wiring/assembly.toml")
result = check(machine, assembly)
for proposal in propose(result):
    ...
"""

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from attrs import evolve

from pincheck.intake import Machine, gather, gather_bytes, machines, read
from pincheck.model.claim import Claims
from pincheck.model.finding import Proposal, Result, Severity
from pincheck.model.path import Trace
from pincheck.model.problem import Problem, UnreadableError
from pincheck.model.setting import StyleName
from pincheck.model.source import Source
from pincheck.model.wiring import Assembly
from pincheck.resources import folder

_SHOWN = 5
"""Machines named where only one was expected."""

if TYPE_CHECKING:
    from pincheck.claims import Vocabulary, Words
    from pincheck.edits.trial import Trial
    from pincheck.intake.gather import Handed

__all__ = [
    "check",
    "claims",
    "demo",
    "explain",
    "load_configuration",
    "load_configuration_bytes",
    "load_wiring",
    "load_words",
    "load_words_of_all",
    "machine_of",
    "propose",
    "require_writable",
    "trace",
    "try_edits",
    "undo",
    "write",
]


def demo(name: str) -> Path:
    """Return the path of one of the demo's files or folders."""
    return folder("configs") / name


def load_wiring(path: Path | str) -> Assembly:
    """Load an assembly with its boards, cables and parts.

    Raises:
        UnreadableError: with every mistake found.
    """
    from pincheck.wiring import load

    return load(Path(path))


def load_configuration(
    *paths: Path | str,
    style: StyleName | None = None,
    main: str = "",
    follow: Sequence[Path | str] = (),
) -> Machine:
    """Take in the files, folder or archive of one machine.

    A single file brings along what it includes from its own folder. `main` names the file where
    reading starts, `follow` further folders that links may lead into.
    What a killed command left half written there is mended first; a problem says so.

    Raises:
        UnreadableError: there is no configuration in it, that of several machines, or too much.
    """
    from pincheck.writing.change import WriteRefusedError
    from pincheck.writing.mend import mend

    given = tuple(map(Path, paths))
    try:
        mended = mend(path for path in given if path.exists())
    except WriteRefusedError as error:
        raise UnreadableError((Problem(given[0].name, str(error), fatal=True),)) from error
    handed = gather(given, follow=[Path(root) for root in follow], beside=True)
    machine = machine_of(handed, style, main)
    said = tuple(Problem(machine.main.name, message) for message in mended)
    return evolve(machine, problems=(*said, *machine.problems))


def load_configuration_bytes(
    data: bytes, name: str = "standard-input", style: StyleName | None = None, main: str = ""
) -> Machine:
    """Take in one file or archive as bytes.

    Raises:
        UnreadableError: as for `load_configuration`.
    """
    return machine_of(gather_bytes(name, data), style, main)


def machine_of(handed: "Handed", style: StyleName | None = None, main: str = "") -> Machine:
    """Return the one machine in what was handed over.

    Raises:
        UnreadableError: as for `load_configuration`.
    """
    found, problems = machines(handed, style, main)
    if len(found) == 1:
        return evolve(found[0], problems=problems)
    if found:
        listed = "; ".join(f"{m.name}: {m.reason}" for m in found[:_SHOWN])
        count = "two machines" if len(found) == 2 else f"{len(found)} machines"
        message, expected = f"{count} here: {listed}", "the files of one machine, or --main FILE"
        several = Problem(found[0].main.name, message, expected=expected, fatal=True)
        problems = (*problems, several)
    raise UnreadableError(problems)


def load_words(style: StyleName, *paths: Path | str) -> "Vocabulary":
    """Return a style's vocabulary with the key names of a fork added.

    Raises:
        UnreadableError: with every mistake in the files.
    """
    from pincheck.claims import vocabulary

    return vocabulary(style, _handed(paths))


def load_words_of_all(*paths: Path | str) -> "Words":
    """Return the vocabulary of every style, each file's key names added to the style it states.

    Raises:
        UnreadableError: with every mistake in the files.
    """
    from pincheck.claims import vocabularies

    return vocabularies(_handed(paths))


def _handed(paths: Sequence[Path | str]) -> "tuple[Source, ...]":
    handed = gather(Path(path) for path in paths)
    if handed.problems:
        raise UnreadableError(handed.problems)
    return handed.sources


def trace(assembly: Assembly) -> Trace:
    """Follow the copper of every role."""
    from pincheck.check import trace_of

    return trace_of(assembly)


def claims(
    machine: Machine, assembly: Assembly | None = None, vocabulary: "Vocabulary | None" = None
) -> tuple[Claims, tuple[Problem, ...]]:
    """Return what a machine's configuration claims, and what went wrong in reading it.

    Raises:
        UnreadableError: the files go far beyond any machine; nothing is claimed of a part of them.
    """
    from pincheck.claims import claims as claims_of

    reading = read(machine)
    problems = (*machine.problems, *reading.problems)
    return claims_of(reading, assembly, vocabulary), problems


def check(machine: Machine, assembly: Assembly, vocabulary: "Vocabulary | None" = None) -> Result:
    """Compare a machine's configuration with its wiring.

    Raises:
        UnreadableError: the files go far beyond any machine; no part of them is judged.
    """
    from pincheck.check import check as check_reading

    result = check_reading(read(machine), assembly, vocabulary)
    return evolve(result, problems=(*machine.problems, *result.problems))


def explain(
    result: Result, wiring: Path | str | None = None, vocabulary: "Vocabulary | None" = None
) -> Result:
    """Return the result with what it comes from and what may yet happen.

    That is the one change of the wiring that removes most findings, if any, and the plug that can
    destroy something. `wiring` is the assembly's file where other revisions of its boards may lie
    beside it.
    """
    from pincheck.analysis.mating.prevention import plug_danger

    slip = None
    if any(finding.severity > Severity.ADVICE for finding in result.findings):
        from pincheck.slip import find_slip

        slip = find_slip(result, Path(wiring) if wiring else None, vocabulary)
    return evolve(result, slip=slip, plug_danger=plug_danger(result.assembly))


def propose(result: Result, vocabulary: "Vocabulary | None" = None) -> tuple[Proposal, ...]:
    """Return a proposal for every finding, in the order of the findings."""
    from pincheck.edits.propose import propose as propose_edits

    return propose_edits(result, vocabulary)


def try_edits(
    machine: Machine,
    assembly: Assembly,
    proposals: Sequence[Proposal],
    vocabulary: "Vocabulary | None" = None,
    result: Result | None = None,
) -> "Trial":
    """Apply proposals in memory, keeping those that remove their finding and bring no new one.

    `result` is that of a check of this machine where one is at hand.
    """
    from pincheck.edits.trial import attempt

    return attempt(
        machine,
        result or check(machine, assembly, vocabulary),
        proposals,
        lambda edited: check(edited, assembly, vocabulary),
        lambda found: propose(found, vocabulary),
    )


def write(before: Machine, after: Machine) -> tuple[Path, ...]:
    """Write a tried machine over the files it came from; return what was written.

    Raises:
        WriteRefusedError: nothing was written, the message says why.
    """
    from pincheck.edits.write import write

    return write(require_writable(before), before.sources, after.sources)


def undo(machine: Machine) -> tuple[Path, ...]:
    """Write back what the last `write` to a machine's folder replaced; return what was written.

    Nothing where nothing is kept.

    Raises:
        WriteRefusedError: a file changed since; nothing was written.
    """
    from pincheck.edits.undo import undo

    return tuple(change.path for change in undo(require_writable(machine)))


def require_writable(machine: Machine) -> Path:
    """Return the folder that a machine can be written back to.

    Raises:
        WriteRefusedError: it came from an archive or standard input, or is the installed demo.
    """
    from pincheck.writing.change import WriteRefusedError

    if machine.root is None:
        raise WriteRefusedError(
            "an archive, standard input or the installed demo is not written back: "
            "pincheck edits --into FOLDER writes a copy of your own with the edits made"
        )
    return machine.root
