"""Everything that a revision's page says, gathered; its template only lays it out."""

from collections.abc import Iterator

from markupsafe import Markup

from pincheck.analysis import roles
from pincheck.analysis.mating.harm import MatingHarm
from pincheck.analysis.mating.prevention import prevention
from pincheck.analysis.mating.survey import survey
from pincheck.bench.record import WalkRecord
from pincheck.bench.sheet import phases
from pincheck.check import trace_of
from pincheck.compare.revisions import compare
from pincheck.html import render
from pincheck.html.chart import draw_chart
from pincheck.maker.reference import Reference, reference
from pincheck.maker.want import CannotExpressError
from pincheck.model.finding import Result
from pincheck.model.frozen import frozen
from pincheck.model.setting import STYLES, StyleName
from pincheck.model.wiring import Assembly
from pincheck.reports import sentences
from pincheck.reports.charts import Chart, charts
from pincheck.reports.mating_text import headline, named
from pincheck.revision_page.sockets import board_sheets


@frozen
class ReferenceFile:
    """One file of a reference to copy."""

    name: str
    text: str


@frozen
class StyleSheet:
    """A style's reference, or why there is none."""

    style: StyleName
    files: tuple[ReferenceFile, ...] = ()
    refused: str = ""


@frozen
class WrongPlug:
    """One wrong mating in words: what it does, and what prevents it or would."""

    what: str
    dangerous: bool
    prevented: str
    harms: tuple[str, ...]
    mend: str


@frozen
class ChangedRole:
    """What became of one role, in words."""

    role: str
    state: str
    before: str
    after: str
    more: tuple[str, ...]


def revision_page(assembly: Assembly, before: Assembly | None = None) -> str:
    """Return the page of an assembly as one HTML file; `before` is what it replaces."""
    trace = trace_of(assembly)
    made = [_made(assembly, style) for style in STYLES]
    references = [it for it in made if isinstance(it, Reference)]
    result = references[0].result if references else None
    record = WalkRecord(result) if result else None
    found = survey(assembly)
    return render(
        "revision.html",
        assembly=assembly,
        before=before,
        boards=tuple(board_sheets(assembly, trace)),
        serves=[
            (roles.name(w.role), w.part.title or w.part.id, _where(w.fit.connector))
            for w in trace.wired
        ],
        faults=[fault.message for fault in trace.faults],
        headline=_sentence(headline(found)),
        plugs=[_plug(assembly, it) for it in found.found if it.harms or it.unsolved],
        left_out=found.left_out,
        changes=tuple(_changes(before, assembly)) if before else (),
        styles=[_sheet(style, it) for style, it in zip(STYLES, made, strict=True)],
        curves=tuple(_curves(result)) if result else (),
        phases=tuple(phases(record)) if record else (),
        stops=record.stops if record else (),
        walked=result.claims.style if result else "",
        cautions=sentences.cautions(result) if result else sentences.CAUTIONS,
    )


def _sentence(text: str) -> str:
    return text[:1].upper() + text[1:]


def _made(assembly: Assembly, style: StyleName) -> Reference | str:
    try:
        return reference(assembly, style)
    except CannotExpressError as error:
        return str(error)


def _sheet(style: StyleName, made: Reference | str) -> StyleSheet:
    if isinstance(made, str):
        return StyleSheet(style, refused=made)
    files = tuple(ReferenceFile(source.name, source.text) for source in made.machine.sources)
    return StyleSheet(style, files)


def _where(connector: tuple[str, str] | None) -> str:
    return ".".join(connector) if connector else ""


def _plug(assembly: Assembly, it: MatingHarm) -> WrongPlug:
    harms = tuple(f"{harm.kind}: {harm.text}" for harm in it.harms)
    by = " and ".join(it.mating.prevented_by) if it.prevented else ""
    mend = "" if it.prevented else prevention(assembly, it.mating)
    what = ", ".join(map(named, it.matings))
    return WrongPlug(what, it.dangerous, by, harms or (f"not known: {it.unsolved}",), mend)


def _changes(before: Assembly, after: Assembly) -> Iterator[ChangedRole]:
    for it in compare(before, after).roles:
        if it.state != "same" or it.plug:
            more = tuple(
                f"{d.name} {d.before or 'none'} \u2192 {d.after or 'none'}"
                for d in (*it.differences, *it.plug)
            )
            yield ChangedRole(roles.name(it.role), it.state, it.before, it.after, more)


def _curves(result: Result) -> Iterator[Markup]:
    groups = dict.fromkeys(
        wired.role
        for wired in result.trace.wired
        if roles.function(wired.role) in ("heater", "sensor")
    )
    seen: set[str] = set()
    for role in groups:
        group = role.partition(".")[0]
        if group in seen:
            continue
        seen.add(group)
        for chart in charts(result, role):
            if isinstance(chart, Chart):
                yield draw_chart(chart)
