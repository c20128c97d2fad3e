"""One change of the wiring that removes most findings: a mirrored ribbon is one thing."""

from collections.abc import Iterator, Sequence
from itertools import combinations, islice
from pathlib import Path

from attrs import evolve

from pincheck.analysis.case import Case
from pincheck.check import check, judge, trace_of
from pincheck.chips import canonical
from pincheck.claims import Vocabulary
from pincheck.model import limits
from pincheck.model.claim import PinValue
from pincheck.model.finding import Finding, Result, Severity, WiringSlip
from pincheck.model.frozen import frozen
from pincheck.model.source import Span
from pincheck.model.wiring import Assembly, Cable
from pincheck.rules.registry import rule_named, rules
from pincheck.wiring.copper import Copper
from pincheck.wiring.load import revisions
from pincheck.wiring.plugs import Placement, count_wires, placements

_LEAST = 2
"""Findings that a change must remove; one alone says best itself what is wrong, but for one of the
copper that names several roles."""

_Key = tuple[str, tuple[tuple[str, str], ...]]


@frozen
class _Candidate:
    """A changed assembly, and the findings that it is held against.

    One that is `single` is one of many of its kind: believed only where no other does as well.
    """

    assembly: Assembly
    wrong: tuple[Finding, ...]
    looks: str
    mend: str
    at: Span | None = None
    single: bool = False


def find_slip(
    result: Result, wiring: Path | None = None, vocabulary: Vocabulary | None = None
) -> WiringSlip | None:
    """Return the one change of the wiring that removes most findings of pins and copper.

    Each is tried by a check of the changed assembly and must bring nothing that is worse.
    `wiring` is the assembly's file where other revisions of its boards may lie beside it.
    """
    wrong = tuple(f for f in result.findings if f.severity > Severity.ADVICE and _of_wiring(f))
    if _weight(wrong) < _LEAST or count_wires(result.assembly) > limits.WIRES_AT_A_CHECK:
        return None
    quick = tuple(rule for rule in rules() if rule.family in ("copper", "pins"))
    old = set(map(_key, result.findings))
    scored: list[tuple[int, int, _Candidate]] = []
    tried = islice(_candidates(result, wrong, wiring), limits.SLIP_TRIALS)
    for number, candidate in enumerate(tried):
        changed = candidate.assembly
        case = Case(result.claims, trace_of(changed), changed)
        after = judge(case, result.reading, quick)
        if any(_family(f) == "copper" and _key(f) not in old for f in after.findings):
            continue
        gone = _removed(candidate, after)
        if _weight(gone) >= _LEAST and len(gone) * 2 > len(candidate.wrong):
            scored.append((-len(gone), number, candidate))
    scored.sort(key=lambda it: it[:2])
    for at, (gone_count, _, candidate) in enumerate(scored[: limits.SLIP_CHECKS]):
        rivals = (it for count, _, it in scored[at + 1 :] if count == gone_count)
        if candidate.single and any(it.single for it in rivals):
            return None
        after = check(result.reading, candidate.assembly, vocabulary)
        if slip := _judged(candidate, result, after):
            return slip
    return None


def _judged(candidate: _Candidate, before: Result, after: Result) -> WiringSlip | None:
    """Return what a change comes to; None where it brings anything but what was hidden."""
    old, removes = set(map(_key, before.findings)), _removed(candidate, after)
    new = [f for f in after.findings if _key(f) not in old]
    unseen = {(v.role, v.attribute) for v in before.verdicts if v.state == "not checked"}
    roles = {*(role for role, _ in unseen), *(role for f in removes for role in f.roles)}
    # Behind a supply that was where none belongs, anything may have gone unseen.
    all_hidden = any(_family(f) == "copper" for f in removes)
    if any(_family(f) == "copper" or not (all_hidden or f.role in roles) for f in new):
        return None
    brought = sum(_of_wiring(f) and f.spots[0] not in unseen for f in new)
    if (len(removes) - brought) * 2 <= len(candidate.wrong):
        return None
    found = candidate.looks, candidate.mend, removes, len(candidate.wrong), len(new)
    return WiringSlip(*found, at=candidate.at)


def _removed(candidate: _Candidate, after: Result) -> tuple[Finding, ...]:
    left = set(map(_key, after.findings))
    return tuple(f for f in candidate.wrong if _key(f) not in left)


def _weight(findings: Sequence[Finding]) -> int:
    """Return how many findings these are; one of the copper counts for the roles that it names."""
    return sum(max(1, len(f.roles) - 1) if _family(f) == "copper" else 1 for f in findings)


def _family(finding: Finding) -> str:
    found = rule_named(finding.rule)
    return found.family if found else ""


def _of_wiring(finding: Finding) -> bool:
    return _family(finding) == "copper" or finding.spots[0][1] == "pin"


def _key(finding: Finding) -> _Key:
    return finding.rule, finding.spots


def _candidates(
    result: Result, wrong: tuple[Finding, ...], wiring: Path | None
) -> Iterator[_Candidate]:
    """Yield what may be wrong of the wiring, what is slipped most easily first."""
    assembly, copper = result.assembly, Copper(result.assembly, canonical)
    of_pins = (v for v in result.verdicts if v.attribute == "pin")
    unseen = {v.role for v in of_pins if v.state == "not checked"}
    for cable in assembly.cables:
        behind = frozenset(_behind(result, cable))
        of_it = tuple(f for f in wrong if not behind.isdisjoint(f.roles))
        accused = behind & {*unseen, *(role for f in of_it for role in f.roles)}
        name = f"the cable from {'.'.join(cable.from_)} to {'.'.join(cable.to)}"
        seen = {_joins(copper, cable)}
        as_a_whole = _as_a_whole(copper, cable) if len(accused) * 2 > len(behind) else ()
        for change in (*as_a_whole, *_exchanges(copper, cable, of_it)):
            joins = _joins(copper, change.cable)
            if joins in seen:
                continue
            seen.add(joins)
            cables = tuple(change.cable if it is cable else it for it in assembly.cables)
            rewired, looks = evolve(assembly, cables=cables), f"{name} looks {change.looks}"
            yield _Candidate(rewired, of_it, looks, change.mend, cable.at, change.single)
    for revision in revisions(wiring, assembly) if wiring else ():
        fitted, other = assembly.boards[revision.key], revision.assembly.boards[revision.key]
        looks = f"board {revision.key} looks like {other.title}, not {fitted.title}"
        mend = revision.file
        yield _Candidate(revision.assembly, wrong, looks, mend, fitted.at)


def _behind(result: Result, cable: Cable) -> Iterator[str]:
    """Yield the roles whose way goes over a cable, and those on boards that only it reaches."""
    others = [{it.from_[0], it.to[0]} for it in result.assembly.cables if it is not cable]
    reached, waiting = {result.assembly.main}, [result.assembly.main]
    while waiting:
        here = waiting.pop()
        found = {board for pair in others if here in pair for board in pair} - reached
        reached |= found
        waiting += found
    ends = {cable.from_, cable.to}
    for wired in result.trace.wired:
        paths = (path for path in (wired.path, wired.supply) if path)
        at = wired.fit.connector
        if (at and at[0] not in reached) or any(
            (it.board, it.connector) in ends for path in paths for it in path.contacts
        ):
            yield wired.role


def _joins(copper: Copper, cable: Cable) -> frozenset[tuple[object, object]]:
    """Return which nets a cable joins: two wirings that join the same are one."""
    return frozenset(
        (copper.at_pin(cable.from_, a), copper.at_pin(cable.to, b)) for a, b in cable.pairs
    )


@frozen
class _Change:
    cable: Cable
    looks: str
    mend: str
    single: bool = False


def _as_a_whole(copper: Copper, cable: Cable) -> Iterator[_Change]:
    """Yield each way to change a cable as a whole, what it looks like today and what mends it."""
    boards = copper.assembly.boards
    near, far = (boards[board].connectors[name] for board, name in (cable.from_, cable.to))
    count, to = len(near.pins), ".".join(cable.to)
    wrongly = list(placements(far))
    if count == len(far.pins):
        straight = tuple((n, n) for n in range(1, count + 1))
        yield _Change(
            evolve(cable, pairs=straight, wiring="straight"),
            _named(cable, count, wrongly),
            "straight",
        )
        mirrored = tuple((n, count + 1 - n) for n in range(1, count + 1))
        turned = evolve(cable, pairs=mirrored, wiring="mirrored")
        yield _Change(turned, "not mirrored as it has to be", "mirrored")
    for it in wrongly:
        pairs = tuple((a, it.meets[b - 1]) for a, b in cable.pairs if it.meets[b - 1])
        how = _undirected(it.how)
        back = "turning it back"
        if it.kind == "shifted":
            back = how.replace("shifted", "shifting it back")
        elif it.kind == "mirrored":
            back = f"mirroring it ({how.partition(', ')[2]})"
        yield _Change(evolve(cable, pairs=pairs, wiring="pin by pin"), f"{how} at {to}", back)


def _named(cable: Cable, count: int, wrongly: Sequence[Placement]) -> str:
    """Return what slip makes today's cable of a straight one."""
    today = set(cable.pairs)
    if all(a + b == count + 1 for a, b in today):
        return "mirrored"
    wholly = {it.how: {pair for pair in enumerate(it.meets, 1) if pair[1]} for it in wrongly}
    for how in (*(h for h, p in wholly.items() if p == today), *wholly):
        if today <= wholly[how]:
            return _undirected(how)
    off = sorted(a for a, b in today if a != b)
    wires = f"{', '.join(map(str, off[:-1]))} and {off[-1]}" if len(off) > 1 else ""
    return f"made with the wires of pins {wires} exchanged" if 1 < len(off) < 5 else "crossed"


def _undirected(how: str) -> str:
    return how.partition(" towards ")[0].partition(" beyond ")[0]


def _exchanges(copper: Copper, cable: Cable, wrong: Sequence[Finding]) -> Iterator[_Change]:
    exchanged = (*_crossed_rails(copper, cable), *_crossed_pins(copper, cable, wrong))
    for one, two in dict.fromkeys((min(pair), max(pair)) for pair in exchanged):
        swap = {one: two, two: one}
        pairs = tuple((swap.get(a, a), b) for a, b in cable.pairs)
        mend = f"exchanging pins {one} and {two} of {'.'.join(cable.from_)}"
        looks = f"made with the wires of pins {one} and {two} exchanged"
        yield _Change(evolve(cable, pairs=pairs, wiring="pin by pin"), looks, mend, single=True)


def _crossed_rails(copper: Copper, cable: Cable) -> Iterator[tuple[int, int]]:
    """Yield pairs of wires that each join a rail to something else, and would not exchanged."""

    def promised(end: tuple[str, str], pin: int) -> float | None:
        key = copper.at_pin(end, pin)
        return copper.net(key).supply_v if key else None

    volts = [(a, promised(cable.from_, a), promised(cable.to, b)) for a, b in cable.pairs]
    odd = [it for it in volts if it[1] != it[2]]
    for (one, here, there), (two, here_too, there_too) in combinations(odd, 2):
        if here == there_too and here_too == there:
            yield one, two


def _crossed_pins(
    copper: Copper, cable: Cable, wrong: Sequence[Finding]
) -> Iterator[tuple[int, int]]:
    """Yield pairs of wires of which one should, by the firmware's pin, be where the other is."""
    reached = {
        pin: {drive.place for drive in copper.drives(copper.node(key))}
        for pin, _ in cable.pairs
        if (key := copper.at_pin(cable.from_, pin))
    }
    for finding in wrong:
        claimed = {c.value.place for c in finding.claims if isinstance(c.value, PinValue)}
        contacts = (c for f in finding.facts if f.path for c in f.path.contacts)
        at = {n for c in contacts if (c.board, c.connector) == cable.from_ for n in c.pins}
        for one in sorted(at) if len(at) == 1 else ():
            for two, places in reached.items():
                if two != one and places & claimed:
                    yield one, two
