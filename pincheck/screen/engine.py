"""The whole job as the screen asks for it: check, try, write; a stage at a time.

What does the work is loaded when it is first asked for, so that the screen paints before.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Protocol

from attrs import field

from pincheck.model.finding import Proposal, Result
from pincheck.model.frozen import frozen
from pincheck.model.setting import StyleName
from pincheck.model.wiring import Assembly

if TYPE_CHECKING:
    from pincheck.claims import Vocabulary
    from pincheck.edits.trial import Trial
    from pincheck.intake import Machine

OnStage = Callable[[str], None]
"""Told what is being done next; raises CancelledError to stop there."""


class CancelledError(Exception):
    """The user stopped the work."""


@frozen
class Checked:
    """Everything that one run of the check brought."""

    machine: "Machine"
    result: Result
    proposals: tuple[Proposal, ...] = ()
    vocabulary: "Vocabulary | None" = field(default=None)

    @property
    def assembly(self) -> Assembly:
        """The wiring that it was checked against."""
        return self.result.assembly


class Engine(Protocol):
    """What does the work behind the screen."""

    def check(self, stage: OnStage) -> Checked: ...

    def attempt(self, checked: Checked, proposals: Sequence[Proposal]) -> "Trial": ...

    def write(self, before: "Machine", after: "Machine") -> tuple[Path, ...]: ...

    def undo(self, machine: "Machine") -> tuple[Path, ...]: ...

    def files(self, checked: Checked | None) -> Iterable[Path]: ...

    def readings(self) -> Path | None: ...


@frozen
class DiskEngine:
    """The engine over files on disk; read anew at every check."""

    configuration: tuple[Path, ...]
    wiring: Path
    style: StyleName | None = None
    words: tuple[Path, ...] = ()
    main: str = ""
    follow: tuple[Path, ...] = ()

    def check(self, stage: OnStage) -> Checked:
        """Read and check everything.

        Raises:
            UnreadableError: a file leaves nothing to check.
            OSError: a file cannot be read.
            CancelledError: from `stage`.
        """
        stage("reading the wiring")
        from pincheck import api

        assembly = api.load_wiring(self.wiring)
        stage("reading the configuration")
        machine = api.load_configuration(
            *self.configuration, style=self.style, main=self.main, follow=self.follow
        )
        vocabulary = api.load_words(machine.style, *self.words) if self.words else None
        stage("checking")
        result = api.explain(api.check(machine, assembly, vocabulary), self.wiring, vocabulary)
        stage("looking for edits")
        proposals = api.propose(result, vocabulary)
        stage("done")
        return Checked(machine, result, proposals, vocabulary)

    def attempt(self, checked: Checked, proposals: Sequence[Proposal]) -> "Trial":
        """Try proposals in memory against the check that they came from."""
        from pincheck import api

        machine, assembly, words = checked.machine, checked.assembly, checked.vocabulary
        return api.try_edits(machine, assembly, proposals, words, checked.result)

    def write(self, before: "Machine", after: "Machine") -> tuple[Path, ...]:
        """Write a tried machine over its files.

        Raises:
            WriteRefusedError: nothing was written.
        """
        from pincheck import api

        return api.write(before, after)

    def undo(self, machine: "Machine") -> tuple[Path, ...]:
        """Write back what the last writing replaced.

        Raises:
            WriteRefusedError: nothing was written.
        """
        from pincheck import api

        return api.undo(machine)

    def readings(self) -> Path | None:
        """Return the file that keeps the walk's readings, None where none does."""
        from pincheck.bench.readings import beside

        return beside(self.wiring)

    def files(self, checked: Checked | None) -> Iterator[Path]:
        """Yield every file whose change asks for a new check."""
        yield self.wiring
        yield from self.configuration
        yield from self.words
        if checked is None:
            return
        if checked.machine.root is not None:
            yield from (checked.machine.root / s.name for s in checked.machine.sources)
        yield from (self.wiring.parent / source.name for source in checked.assembly.sources)


Stamp = tuple[int, int, int] | None
"""Time of the last change in ns, size in bytes, inode; None for a file that is not there."""


def stamps(paths: Iterable[Path]) -> dict[Path, Stamp]:
    """Return of each file what changes when the file does."""
    return {path: _stamp(path) for path in dict.fromkeys(paths)}


def changed(before: Mapping[Path, Stamp]) -> tuple[Path, ...]:
    """Return the files that differ from their stamps."""
    return tuple(path for path, old in before.items() if _stamp(path) != old)


def _stamp(path: Path) -> Stamp:
    try:
        found = path.stat()
    except OSError:
        return None
    return found.st_mtime_ns, found.st_size, found.st_ino
