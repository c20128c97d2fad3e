"""Runs every rule over one machine and comes to a verdict for each role and attribute."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping

from attrs import evolve

from pincheck.analysis.case import Case
from pincheck.analysis.essentials import UNKNOWN, unjudged
from pincheck.chips import canonical
from pincheck.claims import Vocabulary, claims
from pincheck.model.claim import Claims, PinValue
from pincheck.model.finding import (
    Agreement,
    Finding,
    Outcome,
    Result,
    Unchecked,
    Verdict,
)
from pincheck.model.path import Trace, Wired
from pincheck.model.printable import printable
from pincheck.model.problem import Problem, UnreadableError
from pincheck.model.reading import Reading
from pincheck.model.role import order, split
from pincheck.model.setting import STYLES
from pincheck.model.source import Span
from pincheck.model.wiring import Assembly
from pincheck.rules.registry import rules
from pincheck.rules.rule import Rule
from pincheck.wiring import trace

Spot = tuple[str, str]

_WITHOUT_PIN = frozenset(("block", "plate"))
_UNSEEN = _WITHOUT_PIN | {"servo", "tachometer"}
"""What is no matter of its own where nobody knows how it is connected."""


def trace_of(assembly: Assembly) -> Trace:
    """Follow the copper of every role, pins in the spelling of their chips."""
    return trace(assembly, canonical)


def check(reading: Reading, assembly: Assembly, vocabulary: Vocabulary | None = None) -> Result:
    """Compare what a configuration claims with what the copper does.

    Raises:
        UnreadableError: no line claims anything, so that nothing of the firmware would be judged.
    """
    claimed = claims(reading, assembly, vocabulary)
    if not any(claim.setting for claim in claimed.all):
        raise UnreadableError((*reading.problems, _silent(reading, claimed)))
    case = Case(claimed, trace_of(assembly), assembly)
    return judge(case, reading, rules())


def _silent(reading: Reading, claimed: Claims) -> Problem:
    missing = dict.fromkeys(printable(missing.name) for missing in claimed.not_sent)
    apart = f" ({', '.join([*missing][:3])} was not sent)" if missing else ""
    return Problem(
        printable(reading.sources[0].name) if reading.sources else "input",
        f"no line sets anything of a heater, fan, sensor, motor or end stop{apart}: nothing could "
        f"be checked",
        expected=f"the machine's own configuration in the {reading.style} style",
        fatal=True,
    )


def judge(case: Case, reading: Reading, by: Iterable[Rule]) -> Result:
    """Run these rules over one case."""
    rules_ = tuple(by)
    outcomes = tuple(outcome for rule in rules_ for outcome in rule.outcomes(case))
    told = sorted((o for o in outcomes if isinstance(o, Finding)), key=_first_to_strike)
    verdicts = tuple(_verdicts(case, outcomes, told))
    causes = {rule.id: rule.causes for rule in rules_}
    findings = sorted(_by_cause(told, causes), key=_first_to_strike)
    return Result(
        machine=case.assembly.name,
        assembly=case.assembly,
        trace=case.trace,
        reading=reading,
        claims=case.claims,
        findings=tuple(findings),
        verdicts=verdicts,
        problems=reading.problems,
        unjudged=tuple(unjudged(case.assembly, case.trace, verdicts)),
    )


_OF_CONFIGURATION = frozenset(("role-not-configured", "hotend-fan-missing"))


def wiring_findings(assembly: Assembly) -> tuple[Finding, ...]:
    """Return what is wrong with an assembly whatever a configuration of it says."""
    case = Case(Claims(STYLES[0], ()), trace_of(assembly), assembly)
    found = judge(case, Reading(STYLES[0], (), ()), rules()).findings
    return tuple(finding for finding in found if finding.rule not in _OF_CONFIGURATION)


def _by_cause(told: Iterable[Finding], causes: Mapping[str, tuple[str, ...]]) -> Iterator[Finding]:
    """Yield the findings, those that follow from another one beneath it: as severe as the worst of
    them, and told at the moment of the first."""
    left = list(told)
    for cause in [finding for finding in left if causes[finding.rule]]:
        effects = tuple(f for f in left if f.rule in causes[cause.rule] and _shared(f, cause))
        if effects and cause in left:
            left = [finding for finding in left if finding not in (cause, *effects)]
            worst = max(finding.severity for finding in (cause, *effects))
            first = min(finding.when for finding in (cause, *effects))
            yield evolve(cause, severity=worst, when=first, effects=effects)
    yield from left


def _shared(one: Finding, other: Finding) -> bool:
    return not set(one.roles).isdisjoint(other.roles)


def _first_to_strike(finding: Finding) -> tuple[int, int, tuple[int, int, int], str, int, str, str]:
    span, bad = finding.span, -finding.severity
    place = (span.source, span.line) if span else ("", 0)
    return finding.when, bad, order(finding.role), *place, finding.rule, finding.message


def _verdicts(
    case: Case, outcomes: Iterable[Outcome], findings: Iterable[Finding]
) -> Iterator[Verdict]:
    against: dict[Spot, list[Finding]] = defaultdict(list)
    for finding in findings:
        for spot in dict.fromkeys(finding.spots):
            against[spot].append(finding)
    agreed = {(o.role, o.attribute) for o in outcomes if isinstance(o, Agreement)}
    open_: dict[Spot, str] = {}
    for outcome in outcomes:
        if isinstance(outcome, Unchecked):
            open_.setdefault((outcome.role, outcome.attribute), outcome.reason)
    judged = {*against, *agreed, *open_}
    pins = {
        (role, "pin")
        for role in case.roles
        if split(role)[0] != "board"
        and split(role)[2] not in _WITHOUT_PIN
        and (
            case.trace.find(role)
            or (_claims_pin(case, role) and all(spot[0] != role for spot in judged))
        )
    }
    pins |= {(role, "pin") for role in case.assembly.unknown if split(role)[2] not in _UNSEEN}
    draft = _draft(case)
    for role, attribute in sorted(judged | pins, key=lambda spot: (order(spot[0]), spot[1])):
        spot = role, attribute
        if spot in against:
            yield Verdict(role, attribute, "contradicts", findings=tuple(against[spot]))
        elif spot in open_ or spot not in agreed:
            reason = open_.get(spot) or _nothing_known(case, role)
            yield Verdict(role, attribute, "not checked", reason)
        elif role in draft:
            yield Verdict(role, attribute, "not checked", draft[role])
        elif (claim := case.claims.find(role, attribute)) and claim.caveat:
            reason = f"agrees so far; {claim.caveat}"
            yield Verdict(role, attribute, "not checked", reason, so_far=True)
        else:
            yield Verdict(role, attribute, "agrees")


def _claims_pin(case: Case, role: str) -> bool:
    """Tell whether the firmware asks for a pin: "none" beside nothing fitted needs no verdict."""
    claim = case.claims.find(role, "pin")
    absent = claim is not None and isinstance(claim.value, PinValue) and claim.value.absent
    return claim is not None and not (absent and not claim.doubt)


def _nothing_known(case: Case, role: str) -> str:
    wired = case.trace.find(role)
    if wired is None:
        return UNKNOWN if role in case.assembly.unknown else "the wiring describes no such part"
    return wired.reason or "the files claim no pin for it"


def _draft(case: Case) -> Mapping[str, str]:
    """Return why the wiring of a role is no basis for "agrees": it is a draft's, or unknown."""
    marks = set(case.assembly.unverified)
    found = dict.fromkeys(case.assembly.unknown, UNKNOWN)
    for wired in case.trace.wired:
        places = (f"{span.source}:{span.line}" for span in _spans(case, wired))
        mark = next((place for place in places if place in marks), "")
        if mark:
            found[wired.role] = f"the wiring is a draft, marked as unverified at {mark}"
    # An end stop that is not fitted is judged by the probe's wiring, which may be the draft.
    for role in case.claims.roles() - case.trace.roles():
        if mark := next(iter(case.assembly.unverified), ""):
            found.setdefault(role, f"the wiring is a draft, marked as unverified at {mark}")
    return found


def _spans(case: Case, wired: Wired) -> Iterator[Span]:
    hops = (hop for path in (wired.path, wired.supply) if path for hop in path.hops)
    group = wired.role.partition(".")[0]
    limits = (limit.at for limit in case.assembly.limits if limit.group == group)
    yield from filter(None, (wired.fit.at, wired.part.at, *(hop.at for hop in hops), *limits))
