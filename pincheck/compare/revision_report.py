"""A comparison of revisions as text, 80 columns wide, as Markdown and as JSON."""

import re
from collections.abc import Iterable, Iterator, Mapping

from attrs import asdict, evolve, field

from pincheck import styles
from pincheck.analysis.mating.prevention import prevention
from pincheck.analysis.mating.survey import Survey, survey
from pincheck.claims import Words
from pincheck.compare.boards import BoardRevision, SocketChange
from pincheck.compare.carried import Carried, carried
from pincheck.compare.difference import STATES, Difference
from pincheck.compare.revisions import Revision, RoleChange, compare
from pincheck.compare.style_edits import StyleEdits, style_edits
from pincheck.model.frozen import frozen
from pincheck.model.printable import printable
from pincheck.model.wiring import Assembly
from pincheck.reports import mating_text
from pincheck.reports.json import Json
from pincheck.reports.text import labelled, wrap

SCHEMA_VERSION = 1
"""Raised when a field changes its meaning or goes; new fields do not raise it."""

_COLUMNS = (16, 15, 20, 20)


@frozen
class RevisionReport:
    """All that is told of two assemblies; `exceptions` are the maker's reasons, by role.

    `matings` are the wrong matings of the first and the second one.
    """

    revision: Revision
    styles: tuple[StyleEdits, ...]
    carried: tuple[Carried, ...]
    matings: tuple[Survey, Survey]
    exceptions: Mapping[str, str] = field(factory=dict)

    @property
    def sides(self) -> tuple[Assembly, Assembly]:
        """Both assemblies."""
        return self.revision.before, self.revision.after

    @property
    def drop_in(self) -> bool:
        """Whether all goes over as it is, or is meant not to."""
        new = (it.role for it in self.revision.roles if it.state in ("gained", "lost"))
        edited = (role for style in self.styles for edit in style.edits for role in edit.roles)
        lost = any(style.blocked and style.breaks for style in self.styles)
        meant = all(role in self.exceptions for role in (*new, *edited))
        return meant and not lost and all(it.drop_in for it in self.carried)


def revision_report(
    before: Assembly,
    after: Assembly,
    words: Words | None = None,
    exceptions: Mapping[str, str] | None = None,
) -> RevisionReport:
    """Return all that is told of two assemblies."""
    meant = exceptions or {}
    over = (evolve(it, deliberate=meant.get(it.role, "")) for it in carried(before, after))
    styles_ = tuple(style_edits(before, after, words))
    both = survey(before), survey(after)
    return RevisionReport(compare(before, after), styles_, tuple(over), both, meant)


Section = tuple[str, tuple[str, ...], tuple[str, ...]]
"""A title, sentences, and lines of a configuration or table that stand as they are."""


def revision_lines(report: RevisionReport, *, markdown: bool = False) -> Iterator[str]:
    """Yield the comparison of two assemblies, the worst first, as text or as Markdown."""
    title = f"{report.revision.before.name} -> {report.revision.after.name}"
    yield from ([f"# {_escaped(title)}"] if markdown else wrap(title))
    for heading, sentences, code in _sections(report):
        yield ""
        if markdown:
            told = [f"- {_escaped(it)}" for it in sentences]
            yield from (f"## {heading}", "", *told, *([""] if told and code else []))
            yield from ("```text", *map(printable, code), "```") if code else ()
            continue
        yield f"{heading}:"
        for sentence in sentences:
            first, *rest = wrap(sentence, "    ")
            yield from (f"  - {first[4:]}", *rest)
        yield from (f"  {printable(it)}" for it in code)


def _escaped(text: str) -> str:
    return re.sub(r"([\\`*_\[\]<|#])", r"\\\1", printable(text))


def _sections(report: RevisionReport) -> Iterator[Section]:
    worst = [it for it in report.carried if it.state in ("destroys", "fails", "not known")]
    none = "no old part or cable that fits the new revision destroys anything or fails there"
    yield "The worst", tuple(map(_carried, worst)) or (none,), ()
    yield "Parts and cables that go over as they are", (_over(report.carried),), ()
    if others := [it for it in report.carried if it.state in ("another plug", "another part")]:
        yield "Parts and cables that need something else", tuple(map(_carried, others)), ()
    moved = [it for it in report.revision.roles if it.state != "same"]
    if moved:
        rows = [_table_row("role", "state", "before", "after")]
        for it in moved:
            rows.append(_table_row(it.role, it.state, it.before, it.after))
            rows += (f"  {difference}" for difference in it.differences)
        yield "Changed on the way to the chip", (), tuple(rows)
    for style in report.styles:
        yield f"Configurations of the {style.style} style", *_style(style)
    yield "Plugs that can go on wrong", tuple(_dangers(report)), ()
    if report.exceptions:
        told = (f"{role}: {because}" for role, because in report.exceptions.items())
        yield "Deliberate, by the release file", tuple(told), ()


def _carried(it: Carried) -> str:
    kept = f" (deliberate: {it.deliberate})" if it.deliberate else ""
    return f"{it.kind} {it.name}, {it.state}: {it.reason}{kept}"


def _over(carried: Iterable[Carried]) -> str:
    return ", ".join(it.name for it in carried if it.state == "goes over") or "none"


def _dangers(report: RevisionReport) -> Iterator[str]:
    """Yield what nothing prevents on either revision, and what would."""
    pairs = zip(("before", "after"), report.matings, strict=True)
    yield from (f"{when}: {mating_text.headline(found)}" for when, found in pairs)
    for it in report.matings[1].dangerous:
        how = mating_text.named(it.mating)
        advice = prevention(report.revision.after, it.mating)
        yield f"{how}: {it.harms[0].text}; prevent it with {advice}"


def board_lines(revision: BoardRevision) -> Iterator[str]:
    """Yield the comparison of two boards: a line a socket, then what their headers say."""
    yield from wrap(f"{revision.before.title} -> {revision.after.title}")
    yield from _summary([change.state for change in revision.sockets])
    for change in revision.sockets:
        yield ""
        now = f" (now {change.renamed})" if change.renamed else ""
        yield from wrap(f"{change.name}{now}: {change.state}")
        if change.before == change.after:
            yield from labelled("leads to", change.before)
        else:
            yield from labelled("before", change.before or "not there")
            yield from labelled("after", change.after or "not there")
        yield from _differences((*change.differences, *change.plug))
    if revision.settings:
        yield ""
        yield "What a configuration takes from the board itself:"
        yield from _differences(revision.settings)


def _summary(states: list[str]) -> Iterator[str]:
    counts = (f"{states.count(state)} {state}" for state in STATES if state in states)
    yield from wrap(", ".join(counts) + ".")


def _table_row(*cells: str) -> str:
    texts = (f"{cell:<{width}}" for cell, width in zip(cells, _COLUMNS, strict=True))
    return printable(" ".join(texts).rstrip())


def _differences(differences: Iterable[Difference]) -> Iterator[str]:
    for difference in differences:
        yield from wrap(str(difference), "    ")


def _style(style: StyleEdits) -> tuple[tuple[str, ...], tuple[str, ...]]:
    if style.blocked:
        return (f"not comparable: {style.blocked}",), ()
    if style.drop_in:
        return ("they stay as they are",), ()
    rows = []
    for edit in style.edits:
        place = styles.of(style.style).layout.where(edit.place)
        both = (("-", edit.before), ("+", edit.after))
        rows += [f"{mark} {place}{text}" for mark, text in both if text]
    return ("they have to change",), tuple(rows)


def of_assemblies(report: RevisionReport) -> Json:
    """Return the comparison of two assemblies as plain JSON values."""
    revision = report.revision
    return {
        "schema_version": SCHEMA_VERSION,
        "kind": "assemblies",
        "before": revision.before.name,
        "after": revision.after.name,
        "rows": [_record(change, change.role) for change in revision.roles],
        "styles": [
            {
                "style": style.style,
                "drop_in": style.drop_in,
                "blocked": style.blocked,
                "edits": [{**asdict(edit), "roles": list(edit.roles)} for edit in style.edits],
            }
            for style in report.styles
        ],
        "settings": [],
        "carried": list(map(_carried_record, report.carried)),
        "matings": [_matings_record(*it) for it in zip(report.sides, report.matings, strict=True)],
        "exceptions": dict(report.exceptions),
    }


def of_boards(revision: BoardRevision) -> Json:
    """Return the comparison of two boards as plain JSON values."""
    return {
        "schema_version": SCHEMA_VERSION,
        "kind": "boards",
        "before": revision.before.title,
        "after": revision.after.title,
        "rows": [_record(change, change.name, change.renamed) for change in revision.sockets],
        "styles": [],
        "settings": list(map(asdict, revision.settings)),
        "carried": [],
        "matings": [],
        "exceptions": {},
    }


def _carried_record(it: Carried) -> Json:
    return {
        "kind": it.kind,
        "name": it.name,
        "role": it.role,
        "state": it.state,
        "drop_in": it.drop_in,
        "reason": it.reason,
        "deliberate": it.deliberate,
        "harms": [{"kind": harm.kind, "about": harm.about, "text": harm.text} for harm in it.harms],
    }


def _matings_record(assembly: Assembly, found: Survey) -> Json:
    return {
        "assembly": assembly.name,
        "possible": sum(not it.prevented for it in found.found),
        "left_out": found.left_out,
        "dangerous": [
            {
                "mating": mating_text.named(it.mating),
                "text": it.harms[0].text,
                "prevent": prevention(assembly, it.mating),
            }
            for it in found.dangerous
        ],
    }


def _record(change: RoleChange | SocketChange, name: str, renamed: str = "") -> Json:
    return {
        "name": name,
        "renamed": renamed,
        "state": change.state,
        "before": change.before,
        "after": change.after,
        "differences": list(map(asdict, change.differences)),
        "plug": list(map(asdict, change.plug)),
        "part_stays": change.part_stays,
    }
