"""A comparison of revisions as JSON."""

from collections.abc import Iterable

from pincheck.compare.boards import BoardRevision
from pincheck.compare.difference import Difference
from pincheck.compare.revisions import Revision
from pincheck.compare.style_edits import StyleEdits
from pincheck.reports.json import Json

SCHEMA_VERSION = 1
"""Raised when a field changes its meaning or goes; new fields do not raise it."""


def of_assemblies(revision: Revision, edits: Iterable[StyleEdits]) -> Json:
    """Return the comparison of two assemblies as plain JSON values."""
    return {
        "schema_version": SCHEMA_VERSION,
        "kind": "assemblies",
        "before": revision.before.name,
        "after": revision.after.name,
        "rows": [
            {
                "name": change.role,
                "renamed": "",
                "state": change.state,
                "before": change.before,
                "after": change.after,
                "differences": _differences(change.differences),
                "plug": _differences(change.plug),
                "part_stays": change.part_stays,
            }
            for change in revision.roles
        ],
        "styles": [
            {
                "style": style.style,
                "drop_in": style.drop_in,
                "blocked": style.blocked,
                "edits": [
                    {
                        "place": edit.place,
                        "before": edit.before,
                        "after": edit.after,
                        "roles": list(edit.roles),
                    }
                    for edit in style.edits
                ],
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
        "rows": [
            {
                "name": change.name,
                "renamed": change.renamed,
                "state": change.state,
                "before": change.before,
                "after": change.after,
                "differences": _differences(change.differences),
                "plug": _differences(change.plug),
                "part_stays": change.state not in ("gained", "lost") and not change.plug,
            }
            for change in revision.sockets
        ],
        "styles": [],
        "settings": _differences(revision.settings),
    }


def _differences(differences: Iterable[Difference]) -> list[Json]:
    return [{"name": d.name, "before": d.before, "after": d.after} for d in differences]
