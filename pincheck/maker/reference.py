"""Reference configurations: generated, read back and checked, or not at all."""

from collections.abc import Iterator, Mapping
from importlib.metadata import version

from attrs import evolve

from pincheck import styles
from pincheck.analysis import roles
from pincheck.analysis.case import Case
from pincheck.analysis.stamp import Stamp, boards_of, digest_of_lines, digest_of_wiring
from pincheck.check import check, trace_of
from pincheck.claims import Vocabulary, vocabulary
from pincheck.intake.machines import Machine, read
from pincheck.maker.draw_up import drawn_up, rendered
from pincheck.maker.motors import current_a, driver_type
from pincheck.maker.says import has_key, says
from pincheck.maker.want import CannotExpressError, Want
from pincheck.maker.wanted import wanted
from pincheck.model.finding import Finding, Result
from pincheck.model.frozen import frozen
from pincheck.model.path import Trace
from pincheck.model.setting import StyleName
from pincheck.model.source import Source
from pincheck.model.wiring import Assembly
from pincheck.reports.sentences import CAUTIONS, value_text
from pincheck.styles.layout import MARK, ReferenceLine, remark

Spot = tuple[str, str]
"""A rule, and a role that it speaks of."""


@frozen
class Reference:
    """A configuration that agrees with its assembly.

    `left_out` are wants that the style has no key for; `result` is the check of what was
    generated, without a finding.
    """

    style: StyleName
    assembly: Assembly
    lines: tuple[ReferenceLine, ...]
    machine: Machine
    result: Result
    left_out: tuple[Want, ...] = ()


def reference(
    assembly: Assembly,
    style: StyleName,
    words: Vocabulary | None = None,
    accepted: Mapping[Spot, str] | None = None,
    *,
    older: bool = False,
) -> Reference:
    """Return the reference configuration of an assembly, in a fork's own `words` if given.

    `accepted` are findings, by rule and role, that a maker lets go, each with the reason;
    `older` spells keys as releases before the current ones do.

    Raises:
        CannotExpressError: the style cannot say what the assembly needs, the wiring is a draft or
            says too little, or what was generated does not agree when it is read back.
    """
    if assembly.unverified:
        raise CannotExpressError(
            f"the wiring is a draft: {len(assembly.unverified)} marks of unverified are in it, the "
            f"first at {assembly.unverified[0]}"
        )
    trace, accepted = trace_of(assembly), accepted or {}
    # A tachometer that is left open asks for nothing.
    open_ = {w.role for w in trace.wired if roles.function(w.role) == "tachometer" and not w.place}
    faults = () if accepted else trace.faults
    if fault := next((it for it in faults if not open_.issuperset(it.roles)), None):
        raise CannotExpressError(f"the copper itself is wrong: {fault.message}")
    wants = wanted(assembly, trace, style)
    words = words or vocabulary(style)
    lines, goes = drawn_up(assembly, trace, words, wants, older=older)
    unsaid = tuple(w for w in wants if not has_key(words, w.role, w.attribute))
    layout = styles.of(style).layout
    head = (*_head(assembly, trace, style, unsaid, accepted), *goes, CAUTIONS[0])
    made_from = Stamp(
        version("pincheck"),
        style,
        digest_of_wiring(assembly),
        "",
        boards_of(assembly),
        remark(assembly.name),
    )
    sources = tuple(
        _stamped(source, layout.mark, made_from) for source in rendered(layout, lines, head)
    )
    machine = Machine(assembly.name, style, sources, sources[0], f"reference, {style} style")
    reading = read(machine)
    result = check(reading, assembly, words)
    made = Reference(style, assembly, lines, machine, result, unsaid)
    if wrong := next(_wrong(made, wants, accepted), ""):
        raise CannotExpressError(wrong)
    return made


def left_open(findings: tuple[Finding, ...], accepted: Mapping[Spot, str]) -> tuple[Finding, ...]:
    """Return the findings that are not accepted by their rule and one of their roles."""
    return tuple(f for f in findings if not any((f.rule, role) in accepted for role in f.roles))


def _stamped(source: Source, mark: str, made_from: Stamp) -> Source:
    stamp = evolve(made_from, lines=digest_of_lines(source.text))
    return Source.of_text(source.name, f"{mark} {stamp}\n{source.text}")


def _wrong(made: Reference, wants: tuple[Want, ...], accepted: Mapping[Spot, str]) -> Iterator[str]:
    """Yield what keeps a reference from being one."""
    result = made.result
    yield from (f"what was generated is not read back: {p}" for p in result.problems)
    for finding in left_open(result.findings, accepted):
        best = f"the best that the {made.style} style can say"
        yield f"{best} leaves {finding.rule}: {finding.message}"
    case = Case(result.claims, result.trace, result.assembly)
    for want in wants:
        if want not in made.left_out and not says(case, want):
            yield (
                f"a reference in the {made.style} style does not come to say what the "
                f"{roles.name(want.role)} needs: {want.attribute} {value_text(want.value)}"
            )


def _head(
    assembly: Assembly,
    trace: Trace,
    style: StyleName,
    left_out: tuple[Want, ...],
    accepted: Mapping[Spot, str],
) -> Iterator[str]:
    boards = ", ".join(dict.fromkeys(board.title for board in assembly.boards.values()))
    yield f"{assembly.name}: reference of tool head, bed and end stops in the {style} style."
    but = " but what is named next" if accepted else ""
    made = f"Generated from the wiring, read back and checked without a finding{but}."
    yield f"Boards: {boards}. {made}"
    for (rule, role), because in accepted.items():
        yield f"Known and let go by the maker: {rule}, {roles.name(role)}: {because}."
    layout = styles.of(style).layout
    yield layout.use
    if not layout.current_by_command:
        yield from _left_to_the_driver(trace)
    yield f'What is marked "{MARK}" is your own choice, within what the parts stand.'
    drivers = {driver_type(trace, wired.role) for wired in trace.wired} - {""}
    chips = (name for name, key in assembly.chips.items() if key != assembly.main)
    yield from layout.needs(drivers, chips)
    unsaid = dict.fromkeys(roles.name(w.role) for w in left_out if w.attribute == "min_c")
    if unsaid:
        yield f"This style has no lowest temperature: {', '.join(unsaid)}."


def _left_to_the_driver(trace: Trace) -> Iterator[str]:
    """Yield which currents are not set, and why."""
    motors = [it.role for it in trace.wired if roles.function(it.role) == "motor"]
    amps = {it: current_a(trace, it) for it in motors if not driver_type(trace, it)}
    listed = ", ".join(f"{roles.name(role)} {amp:g} A" for role, amp in amps.items() if amp)
    if listed:
        yield (
            "Motor currents (RMS) belong to the driver's type, which the wiring does not state, or "
            f"to its trimmer: {listed}."
        )
