"""One sitting at the screen: the latest check, what is chosen, what can be undone."""

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from attrs import define, field

from pincheck.model.finding import Finding, Proposal, Result
from pincheck.model.problem import Problem, UnreadableError
from pincheck.reports.glyphs import LINES, Glyphs
from pincheck.screen.engine import Checked, Engine

if TYPE_CHECKING:
    from pincheck.bench.record import WalkRecord
    from pincheck.edits.trial import FindingKey, Trial


def key(finding: Finding) -> "FindingKey":
    """Return what stays the same of a finding from one check to the next."""
    from pincheck.edits.trial import key as key_of

    return key_of(finding)


@define(eq=False)
class Session:
    """What the screen knows; changed only by its methods, on one thread.

    `run` numbers the checks: an outcome of any but the latest is dropped; `doing` is what the
    latest does, empty when it is done. `trouble` says why the latest check came to nothing;
    `checked` is then the last one that did.
    """

    engine: Engine
    glyphs: Glyphs = LINES
    run: int = 0
    doing: str = ""
    checked: Checked | None = None
    trouble: tuple[Problem, ...] = ()
    chosen: "set[FindingKey]" = field(factory=set)
    written: int = 0
    _record: "WalkRecord | None" = None

    @property
    def result(self) -> Result | None:
        """The latest result."""
        return self.checked.result if self.checked else None

    def walk(self) -> "WalkRecord | None":
        """Return the bench walk of the latest result, with the readings taken so far.

        Raises:
            UnreadableError: the file that keeps them is none.
        """
        result = self.result
        if result is None:
            return None
        from pincheck.bench.record import WalkRecord

        if self._record is None:
            self._record = WalkRecord(result, self.engine.readings())
        elif self._record.result is not result:
            self._record.renew(result)
        return self._record

    @property
    def at_bench(self) -> "WalkRecord | None":
        """The walk, where it was begun in this sitting or readings of an earlier one are kept."""
        kept = self.engine.readings() if self._record is None else None
        if self._record is None and not (kept and kept.exists()):
            return None
        try:
            return self.walk()
        except UnreadableError:
            return None  # said where the walk is opened

    def begin(self) -> int:
        """Return the number of a new run; older ones are stale from now on."""
        self.run += 1
        self.doing = "reading"
        return self.run

    def publish(self, run: int, outcome: Checked | tuple[Problem, ...]) -> bool:
        """Take a run's outcome; False where it is stale and was dropped."""
        if run != self.run:
            return False
        self.doing = ""
        if isinstance(outcome, Checked):
            self.checked, self.trouble = outcome, ()
            self.chosen &= {key(p.finding) for p in outcome.proposals if p.edits}
        else:
            self.trouble = outcome
        return True

    def proposal(self, finding: Finding) -> Proposal | None:
        """Return the proposal for a finding."""
        proposals = self.checked.proposals if self.checked else ()
        return next((p for p in proposals if key(p.finding) == key(finding)), None)

    def choose(self, proposal: Proposal) -> None:
        """Choose a proposal, or drop it where it was chosen."""
        if proposal.edits:
            self.chosen ^= {key(proposal.finding)}

    def choose_safe(self) -> None:
        """Choose every edit that weakens nothing, and no other."""
        proposals = self.checked.proposals if self.checked else ()
        self.chosen = {key(p.finding) for p in proposals if p.edits and p.safe}

    def choose_none(self) -> None:
        """Drop every choice."""
        self.chosen.clear()

    def selection(self) -> tuple[Proposal, ...]:
        """Return the chosen proposals in the order of the findings."""
        proposals = self.checked.proposals if self.checked else ()
        return tuple(p for p in proposals if key(p.finding) in self.chosen)

    def apply(self, trial: "Trial") -> tuple[Path, ...]:
        """Write a trial to disk and remember how to undo it.

        Raises:
            WriteRefusedError: nothing was written.
        """
        assert self.checked is not None
        paths = self.engine.write(self.checked.machine, trial.machine)
        self.written += 1
        self.chosen -= {key(proposal.finding) for proposal in trial.applied}
        return paths

    def undo(self) -> tuple[Path, ...]:
        """Write back what the last edits replaced; nothing where there were none.

        Raises:
            WriteRefusedError: a file is no longer what was written; nothing was changed.
        """
        if not self.written or self.checked is None:
            return ()
        paths = self.engine.undo(self.checked.machine)
        self.written -= 1
        return paths

    def neighbour(self, finding: Finding, shown: Sequence[Finding], by: int) -> Finding:
        """Return the finding `by` places further in a list, held at its ends."""
        here = next((n for n, f in enumerate(shown) if key(f) == key(finding)), 0)
        return shown[min(max(here + by, 0), len(shown) - 1)]
