"""A comparison of configurations as JSON."""

from pincheck.compare.claim_change import CLAIM_STATES
from pincheck.compare.configurations import Comparison, Side
from pincheck.model.claim import Claim
from pincheck.reports.json import Json, place

SCHEMA_VERSION = 1
"""Raised when a field changes its meaning or goes; new fields do not raise it."""


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
