"""Proposals tried in memory: kept only where a new check shows the finding gone and none new."""

from collections.abc import Callable, Iterable, Sequence

from attrs import evolve

from pincheck.edits.patch import OverlapError, overlapping, patched
from pincheck.edits.propose import propose
from pincheck.intake.machines import Machine
from pincheck.model.attribute import ATTRIBUTES
from pincheck.model.finding import Finding, Proposal, Result
from pincheck.model.frozen import frozen
from pincheck.model.problem import UnreadableError

Recheck = Callable[[Machine], Result]
Propose = Callable[[Result], tuple[Proposal, ...]]
MENDED = "another edit mends this finding already"
_UNSAFE = "after the other edits it is no longer as safe as it was"
FindingKey = tuple[str, tuple[tuple[str, str], ...]]


@frozen
class Trial:
    """A machine with proposals applied, the check of it, and what was not applied.

    `mended` are those left out because another edit took their finding away already.
    """

    machine: Machine
    result: Result
    applied: tuple[Proposal, ...] = ()
    refused: tuple[tuple[Proposal, str], ...] = ()
    mended: tuple[Proposal, ...] = ()


def key(finding: Finding) -> FindingKey:
    """Return what stays the same of a finding when lines move or figures change."""
    return finding.rule, finding.spots


def with_sources(machine: Machine, proposals: Iterable[Proposal]) -> Machine:
    """Return the machine with the proposals' edits applied to its sources.

    Raises:
        OverlapError, UnicodeEncodeError: see `patched`.
    """
    edits = [edit for proposal in proposals for edit in proposal.edits]
    sources = patched(machine.sources, edits)
    main = next(source for source in sources if source.name == machine.main.name)
    return evolve(machine, sources=sources, main=main)


def attempt(
    machine: Machine,
    result: Result,
    proposals: Sequence[Proposal],
    check: Recheck,
    propose: Propose = propose,
) -> Trial:
    """Try proposals made for `result` in waves, causes first, one of each role a wave.

    After each wave they are proposed anew for what it left: a finding that is gone needs no
    edit. A proposal is taken then only if it is as safe as it was.
    """
    risky = {key(p.finding): not p.safe for p in proposals if p.edits}
    trial, waiting = Trial(machine, result), [p for p in proposals if p.edits]
    refused: dict[FindingKey, tuple[Proposal, str]] = {}
    while waiting:
        wave = {p.finding.role: p for p in sorted(waiting, key=_cause, reverse=True)}
        tried = _round(trial.machine, trial.result, list(wave.values()), check)
        if tried.applied:
            refused.clear()
            trial = evolve(tried, applied=(*trial.applied, *tried.applied))
            waiting = [
                p
                for p in propose(tried.result)
                if p.edits and key(p.finding) in risky and (p.safe or risky[key(p.finding)])
            ]
        refused |= {key(p.finding): (p, why) for p, why in tried.refused}
        waiting = [p for p in waiting if key(p.finding) not in refused]
    done = {*refused, *(key(p.finding) for p in trial.applied)}
    left = {key(finding) for finding in trial.result.findings}
    dropped = [p for p in proposals if p.edits and key(p.finding) not in done]
    unsafe = ((p, _UNSAFE) for p in dropped if key(p.finding) in left)
    return evolve(
        trial,
        refused=(*refused.values(), *unsafe),
        mended=tuple(p for p in dropped if key(p.finding) not in left),
    )


def _cause(proposal: Proposal) -> tuple[int, FindingKey]:
    """Return the place of a proposal's first change among causes and effects."""
    attributes = [c.attribute for c in proposal.finding.changes]
    order = list(ATTRIBUTES)
    return min((order.index(a) for a in attributes), default=len(order)), key(proposal.finding)


def _round(
    machine: Machine, result: Result, proposals: Sequence[Proposal], check: Recheck
) -> Trial:
    """Try proposals all at once and, if that brings a finding, by halves.

    A check costs more the larger a machine is: one bad proposal among a hundred is found with
    fourteen checks instead of a hundred.
    """
    best = Trial(machine, result)
    refused: list[tuple[Proposal, str]] = []
    waiting = [list(proposals)] if proposals else []
    while waiting:
        some = waiting.pop()
        outcome = _try(machine, result, [*best.applied, *some], check)
        if isinstance(outcome, Trial):
            best = outcome
        elif len(some) == 1:
            refused.append((some[0], outcome))
        else:
            half = len(some) // 2
            waiting += (some[half:], some[:half])
    return evolve(best, refused=tuple(refused))


def _try(
    machine: Machine, result: Result, proposals: Sequence[Proposal], check: Recheck
) -> Trial | str:
    """Return the trial, or why it must not be applied."""
    clash = next(
        (
            (p, q)
            for n, p in enumerate(proposals)
            for q in proposals[:n]
            for e in p.edits
            for f in q.edits
            if overlapping(e, f)
        ),
        None,
    )
    if clash:
        return f"it changes the same characters as the edit for {clash[1].finding.rule}"
    try:
        edited = with_sources(machine, proposals)
        after = check(edited)
    except (OverlapError, UnicodeEncodeError, UnreadableError) as error:
        return str(error)
    old, new = ({key(f) for cause in r.findings for f in cause.all} for r in (result, after))
    targets = {key(p.finding) for p in proposals}
    if still := targets & new:
        return f"the finding {min(still)[0]} would still be there"
    if added := new - old:
        return f"it would bring a new finding, {min(added)[0]}"
    return Trial(edited, after, tuple(proposals))
