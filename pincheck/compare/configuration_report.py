"""A comparison of configurations as text, 80 columns wide, and as JSON."""

from collections.abc import Iterator

from pincheck.compare.configurations import Comparison, Side
from pincheck.compare.difference import CLAIM_STATES, ClaimChange
from pincheck.model.attribute import ATTRIBUTES
from pincheck.model.claim import Claim
from pincheck.reports.json import Json, place
from pincheck.reports.sentences import firmware_line
from pincheck.reports.text import wrap

SCHEMA_VERSION = 1
"""Raised when a field changes its meaning or goes; new fields do not raise it."""


def lines(comparison: Comparison, *, everything: bool = False) -> Iterator[str]:
    """Yield the comparison; claims that are the same are only counted unless `everything`."""
    before, after = comparison.before, comparison.after
    yield from wrap(
        f"{before.name} ({before.claims.style} style) -> {after.name} ({after.claims.style} style)"
    )
    counts = (f"{len(found)} {state}" for state in CLAIM_STATES if (found := comparison.of(state)))
    yield from wrap(", ".join(counts) + "." if comparison.changes else "Nothing to compare.")
    for state in CLAIM_STATES:
        found = comparison.of(state)
        if state == "same" and not everything:
            continue
        if state == "not comparable":
            yield from _by_reason(found)
            continue
        for change in found:
            yield ""
            yield from _change(change)


def _change(change: ClaimChange) -> Iterator[str]:
    words = ATTRIBUTES[change.attribute].words
    both = f"{change.before or 'nothing'} -> {change.after or 'nothing'}"
    text = change.before if change.state == "same" else both
    yield from wrap(f"{change.role} {words}: {change.state}: {text}")
    yield from wrap(change.note, "    ")
    if change.state != "same":
        for claim in (change.first, change.second):
            if claim and claim.setting:
                yield f"    {firmware_line(claim)}"[:78]


def _by_reason(found: tuple[ClaimChange, ...]) -> Iterator[str]:
    reasons: dict[str, list[str]] = {}
    for change in found:
        reasons.setdefault(change.note, []).append(
            f"{change.role} {ATTRIBUTES[change.attribute].words}"
        )
    if reasons:
        yield ""
        yield "Not comparable:"
    for reason, spots in reasons.items():
        yield from wrap(f"{reason}: {', '.join(spots)}", "  ")


def record(comparison: Comparison) -> Json:
    """Return the comparison as plain JSON values."""
    return {
        "schema_version": SCHEMA_VERSION,
        "before": _side(comparison.before),
        "after": _side(comparison.after),
        "counts": {state: len(comparison.of(state)) for state in CLAIM_STATES},
        "changes": [
            {
                "role": change.role,
                "attribute": change.attribute,
                "state": change.state,
                "before": change.before,
                "after": change.after,
                "note": change.note,
                "places": [_place(change.first), _place(change.second)],
            }
            for change in comparison.changes
        ],
    }


def _side(side: Side) -> Json:
    return {"name": side.name, "style": side.claims.style}


def _place(claim: Claim | None) -> Json | None:
    return place(claim.span) if claim else None
