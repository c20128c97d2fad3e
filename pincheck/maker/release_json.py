"""A release check as JSON."""

from pincheck.maker.release import Across, MatrixCell, Release
from pincheck.reports.json import Json, counts, finding_record, problem_record

SCHEMA_VERSION = 2
"""Raised when a field changes its meaning or goes; new fields do not raise it."""


def record(release: Release) -> Json:
    """Return the release check as plain JSON values."""
    return {
        "schema_version": SCHEMA_VERSION,
        "agrees": not release.troubles,
        "troubles": release.troubles,
        "cells": list(map(_cell, release.cells)),
        "across": list(map(_across, release.across)),
        "unused": list(release.unused),
        "problems": list(map(problem_record, release.problems)),
    }


def _cell(cell: MatrixCell) -> Json:
    result = cell.result
    return {
        "assembly": cell.assembly,
        "style": cell.style,
        "state": cell.state,
        "fails": cell.fails,
        "reason": cell.reason,
        "counts": counts(result),
        "findings": list(map(finding_record, result.findings)) if result else [],
    }


def _across(other: Across) -> Json:
    return {
        "assembly": other.assembly,
        "style": other.style,
        "on": other.on,
        "fits": other.fits,
        "findings": other.findings,
        "not_checked": other.open,
    }
