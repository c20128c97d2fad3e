"""A release check as JSON; `release.schema.json` beside this file is its contract."""

from pathlib import Path

from pincheck.maker.release import Across, Cell, Release
from pincheck.model.finding import Finding, Severity
from pincheck.reports.json import Json, place, problem_record

SCHEMA_VERSION = 1
"""Raised when a field changes its meaning or goes; new fields do not raise it."""

SCHEMA = Path(__file__).with_name("release.schema.json")


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


def _cell(cell: Cell) -> Json:
    result = cell.result
    return {
        "assembly": cell.assembly,
        "style": cell.style,
        "state": cell.state,
        "fails": cell.fails,
        "reason": cell.reason,
        "counts": {
            **{it.word: result.count(it) if result else 0 for it in reversed(Severity)},
            "agrees": result.tally("agrees") if result else 0,
            "contradicts": result.tally("contradicts") if result else 0,
            "not_checked": result.tally("not checked") if result else 0,
        },
        "findings": list(map(_finding, result.findings)) if result else [],
    }


def _finding(finding: Finding) -> Json:
    return {
        "rule": finding.rule,
        "severity": finding.severity.word,
        "spots": [{"role": role, "attribute": attribute} for role, attribute in finding.spots],
        "message": finding.message,
        "place": place(finding.span),
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
