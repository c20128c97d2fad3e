"""A reference put onto a user's own configuration: only the lines that must change."""

from pincheck import api
from pincheck.claims import Vocabulary
from pincheck.edits.trial import Trial
from pincheck.intake.machines import Machine
from pincheck.model.finding import Proposal
from pincheck.model.frozen import frozen
from pincheck.model.wiring import Assembly


@frozen
class Onto:
    """What became of it: the trial with every edit that could be made, and those left to choose.

    `unsafe` are edits that raise a limit or weaken a protection: they are made only by choice.
    """

    before: Machine
    trial: Trial
    proposals: tuple[Proposal, ...]
    unsafe: tuple[Proposal, ...]


def onto(machine: Machine, assembly: Assembly, words: Vocabulary | None = None) -> Onto:
    """Return the configuration with the fewest lines changed that make it agree."""
    result = api.check(machine, assembly, words)
    proposals = api.propose(result, words)
    safe = [proposal for proposal in proposals if proposal.edits and proposal.safe]
    trial = api.try_edits(machine, assembly, safe, words, result)
    unsafe = tuple(p for p in proposals if p.edits and not p.safe)
    return Onto(machine, trial, proposals, unsafe)
