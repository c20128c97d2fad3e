"""A comparison of revisions as text, 80 columns wide, and as JSON."""

from collections.abc import Iterable, Iterator

from attrs import asdict

from pincheck import styles
from pincheck.compare.boards import BoardRevision, SocketChange
from pincheck.compare.difference import STATES, Difference
from pincheck.compare.revisions import Revision, RoleChange
from pincheck.compare.style_edits import StyleEdits
from pincheck.model.printable import printable
from pincheck.reports.json import Json
from pincheck.reports.text import labelled, wrap

SCHEMA_VERSION = 1
"""Raised when a field changes its meaning or goes; new fields do not raise it."""

_COLUMNS = (16, 15, 20, 20)


def revision_lines(revision: Revision, edits: Iterable[StyleEdits]) -> Iterator[str]:
    """Yield the comparison of two assemblies: table, parts, configurations."""
    yield from wrap(f"{revision.before.name} -> {revision.after.name}")
    yield from _summary([change.state for change in revision.roles])
    yield ""
    yield _table_row("role", "state", "before", "after")
    for change in revision.roles:
        yield _table_row(change.role, change.state, change.before, change.after)
        yield from _differences((*change.differences, *change.plug))
    yield ""
    stays = [change.role for change in revision.roles if change.part_stays]
    yield from wrap(f"Parts that go over as they are: {', '.join(stays) or 'none'}.")
    for change in revision.roles:
        if not change.part_stays:
            yield from wrap(f"{change.role}: {_part_reason(change)}", "  ")
    yield ""
    for style in edits:
        yield from _style(style)


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


def _part_reason(change: RoleChange) -> str:
    if change.state == "gained":
        return "nothing was fitted before"
    if change.state == "lost":
        return "nothing is fitted any more"
    if change.plug:
        return f"needs another plug ({'; '.join(map(str, change.plug))})"
    return "; ".join(str(d) for d in change.differences if d.name in ("part", "supply"))


def _style(style: StyleEdits) -> Iterator[str]:
    if style.blocked:
        yield from wrap(f"{style.style} style: not comparable: {style.blocked}")
    elif style.drop_in:
        yield f"{style.style} style: configurations stay as they are."
    else:
        yield f"{style.style} style: configurations have to change"
        for edit in style.edits:
            place = styles.of(style.style).layout.where(edit.place)
            yield from wrap(f"- {place}{edit.before or '(nothing)'}", "  ")
            yield from wrap(f"+ {place}{edit.after or '(nothing)'}", "  ")


def of_assemblies(revision: Revision, edits: Iterable[StyleEdits]) -> Json:
    """Return the comparison of two assemblies as plain JSON values."""
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
            for style in edits
        ],
        "settings": [],
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
