"""A release check as JSON."""

from pincheck.maker.consent import Consent
from pincheck.maker.release import Across, Release, WiringCell
from pincheck.maker.release_cell import MatrixCell
from pincheck.reports.json import Json, counts, finding_record, place, problem_record

SCHEMA_VERSION = 3
"""Raised when a field changes its meaning or goes; new fields do not raise it."""


def record(release: Release) -> Json:
    """Return the release check as plain JSON values."""
    return {
        "schema_version": SCHEMA_VERSION,
        "agrees": not release.troubles,
        "troubles": release.troubles,
        "cells": list(map(_cell, release.cells)),
        "wiring": list(map(_wiring, release.wiring)),
        "consents": list(map(_consent, release.consents)),
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
        "let_go": cell.consent.because if cell.consent else "",
        "reason": cell.reason,
        "proof": dict(cell.proof.counts) if cell.proof else None,
        "counts": counts(result),
        "findings": list(map(finding_record, result.findings)) if result else [],
    }


def _wiring(copper: WiringCell) -> Json:
    return {
        "assembly": copper.assembly,
        "fails": bool(copper.open),
        "findings": list(map(finding_record, copper.open)),
        "let_go": list(map(finding_record, copper.let_go)),
        "plug_danger": copper.danger,
    }


def _consent(consent: Consent) -> Json:
    return {
        "assembly": consent.assembly,
        "what": consent.what,
        "style": consent.style,
        "role": consent.role,
        "because": consent.because,
        "place": place(consent.at),
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
