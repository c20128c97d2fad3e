"""A comparison of revisions as text, 80 columns wide."""

from collections.abc import Iterable, Iterator

from pincheck import styles
from pincheck.compare.boards import BoardRevision
from pincheck.compare.difference import STATES, Difference
from pincheck.compare.revisions import Revision, RoleChange
from pincheck.compare.style_edits import StyleEdits
from pincheck.model.printable import printable
from pincheck.reports.text import labelled, wrap

_COLUMNS = (16, 15, 20, 20)


def revision_lines(revision: Revision, edits: Iterable[StyleEdits]) -> Iterator[str]:
    """Yield the comparison of two assemblies: table, parts, configurations."""
    yield from wrap(f"{revision.before.name} -> {revision.after.name}")
    yield from _summary([change.state for change in revision.roles])
    yield ""
    yield _row("role", "state", "before", "after")
    for change in revision.roles:
        yield _row(change.role, change.state, change.before, change.after)
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


def _row(*cells: str) -> str:
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
