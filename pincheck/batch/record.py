"""What a check of one submission came to, as plain JSON values."""

from collections.abc import Iterable, Iterator
from typing import Any, Literal

from pincheck.analysis.stamp import origins
from pincheck.batch.sizes import MAX_LISTED
from pincheck.model.finding import Result, Severity
from pincheck.model.printable import printable
from pincheck.model.problem import Problem
from pincheck.reports import sentences
from pincheck.reports.json import Json, counts, finding_record

SCHEMA_VERSION = 2
"""Raised when a field changes its meaning or goes; new fields do not raise it."""

SubmissionState = Literal[
    "danger", "fault", "could not check", "not judged", "advice", "not all checked", "agrees"
]

STATES: tuple[SubmissionState, ...] = (
    "agrees",
    "not all checked",
    "advice",
    "not judged",
    "could not check",
    "fault",
    "danger",
)
"""Every state, worst last. What could not be checked, or not where it can burn, may hide anything:
it comes before advice."""


def of_result(result: Result, revisions: str) -> Json:
    """Return the record of a check."""
    fatal = next((p for p in result.problems if p.fatal), None)
    severity = max((finding.severity for finding in result.findings), default=None)
    unread = fatal is not None and severity is None
    return _record(
        _state(result, severity, unread),
        reason=str(fatal) if unread else "",
        style=result.claims.style,
        headline=sentences.headline(result),
        origin=" ".join(origins(result)),
        slip=sentences.slip(result),
        revisions=revisions,
        counts=counts(result),
        findings=list(map(finding_record, result.findings)),
        not_understood=_listed(
            f"[{setting.section}] {setting.key}" if setting.section else setting.key
            for setting in result.claims.not_understood
        ),
        not_sent=_listed(missing.name for missing in result.claims.not_sent),
        problems=_problems(result.problems),
    )


def worst(findings: list[Json]) -> Json | None:
    """Return the first of the worst of a record's findings, None where there is none."""
    return max(findings, key=lambda it: Severity[it["severity"].upper()], default=None)


def could_not_check(reason: str, problems: tuple[Problem, ...] = ()) -> Json:
    """Return the record of a submission that could not be checked."""
    return _record("could not check", reason=reason, problems=_problems(problems))


def _record(state: SubmissionState, **fields: Any) -> Json:
    return {
        "state": state,
        "reason": printable(fields.get("reason", "")),
        "style": fields.get("style", ""),
        "headline": fields.get("headline", ""),
        "origin": fields.get("origin", ""),
        "slip": fields.get("slip", ""),
        "revisions": fields.get("revisions", ""),
        "counts": fields.get("counts", counts(None)),
        "findings": fields.get("findings", []),
        "not_understood": fields.get("not_understood", []),
        "not_sent": fields.get("not_sent", []),
        "problems": fields.get("problems", []),
    }


def _state(result: Result, severity: Severity | None, unread: bool) -> SubmissionState:
    if unread or not result.verdicts:
        return "could not check"
    match severity:
        case Severity.DANGER:
            return "danger"
        case Severity.FAULT:
            return "fault"
    if result.unjudged:
        return "not judged"
    if severity:
        return "advice"
    return "not all checked" if result.tally("not checked") else "agrees"


def _problems(problems: tuple[Problem, ...]) -> list[str]:
    return _listed(map(str, problems))


def _listed(texts: Iterable[str]) -> list[str]:
    """Return different texts in their order, the first `MAX_LISTED` and how many more there are."""
    found = list(dict.fromkeys(printable(text)[:500] for text in texts))
    return list(_shortened(found))


def _shortened(found: list[str]) -> Iterator[str]:
    yield from found[:MAX_LISTED]
    if len(found) > MAX_LISTED:
        yield f"and {len(found) - MAX_LISTED} more"
