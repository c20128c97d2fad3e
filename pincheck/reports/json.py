"""A result as one JSON document; `result.schema.json` beside this file is its contract."""

import json
from collections.abc import Iterable
from pathlib import Path
from typing import Any

from pincheck.model.claim import Claim
from pincheck.model.edit import Proposal
from pincheck.model.finding import Fact, Finding, Number, Result, Severity
from pincheck.model.problem import Problem
from pincheck.model.source import Span
from pincheck.reports import words

SCHEMA_VERSION = 1
"""Raised when a field changes its meaning or goes; new fields do not raise it."""

SCHEMA = Path(__file__).with_name("result.schema.json")

Json = dict[str, Any]


def document(result: Result, proposals: Iterable[Proposal] = ()) -> str:
    """Return the JSON text of a result, keys in a fixed order, one line feed at the end."""
    return json.dumps(record(result, proposals), indent=2, ensure_ascii=True) + "\n"


def record(result: Result, proposals: Iterable[Proposal] = ()) -> Json:
    """Return a result as plain JSON values."""
    by_finding = {id(proposal.finding): proposal for proposal in proposals}
    return {
        "schema_version": SCHEMA_VERSION,
        "machine": result.machine,
        "assembly": result.assembly.name,
        "style": result.claims.style,
        "headline": words.headline(result),
        "counts": {
            **{severity.word: result.count(severity) for severity in reversed(Severity)},
            "agrees": result.tally("agrees"),
            "contradicts": result.tally("contradicts"),
            "not_checked": result.tally("not checked"),
        },
        "findings": [_finding(f, by_finding.get(id(f))) for f in result.findings],
        "verdicts": [
            {
                "role": verdict.role,
                "attribute": verdict.attribute,
                "state": verdict.state,
                "reason": verdict.reason,
                "rules": sorted({finding.rule for finding in verdict.findings}),
            }
            for verdict in result.verdicts
        ],
        "problems": [problem_record(problem) for problem in result.problems],
        "not_sent": sorted({missing.name for missing in result.claims.not_sent}),
        "cautions": list(words.cautions(result)),
    }


def _finding(finding: Finding, proposal: Proposal | None) -> Json:
    return {
        "rule": finding.rule,
        "severity": finding.severity.word,
        "spots": [{"role": role, "attribute": attribute} for role, attribute in finding.spots],
        "message": finding.message,
        "place": place(finding.span),
        "claims": [_claim(claim) for claim in finding.claims],
        "facts": [_fact(fact) for fact in finding.facts],
        "numbers": [_number(number) for number in finding.numbers],
        "advice": finding.advice,
        "edit": _proposal(proposal) if proposal else None,
    }


def _claim(claim: Claim) -> Json:
    return {
        "role": claim.role,
        "attribute": claim.attribute,
        "value": words.value_text(claim.value),
        "place": place(claim.setting.span if claim.setting else None),
        "origin": claim.origin,
        "doubt": claim.doubt,
        "caveat": claim.caveat,
    }


def _fact(fact: Fact) -> Json:
    return {
        "role": fact.role,
        "attribute": fact.attribute,
        "value": fact.value,
        "path": [hop.text for hop in fact.path.hops] if fact.path else [],
        "place": place(fact.at),
    }


def _number(number: Number) -> Json:
    return {
        "name": number.name,
        "value": round(number.value, 6),
        "unit": number.unit,
        "formula": number.formula,
        "inputs": [
            {"name": i.name, "value": i.value, "unit": i.unit, "origin": i.origin}
            for i in number.inputs
        ],
        "source": number.source,
    }


def _proposal(proposal: Proposal) -> Json:
    return {
        "note": proposal.note,
        "safe": proposal.safe,
        "blocked": proposal.blocked,
        "replacements": [
            {"file": e.source, "start": e.start, "end": e.end, "text": e.replacement}
            for e in proposal.edits
        ],
    }


def problem_record(problem: Problem) -> Json:
    """Return a problem as plain JSON values."""
    return {
        "file": problem.file,
        "place": place(problem.span),
        "message": problem.message,
        "expected": problem.expected,
        "nearest": problem.nearest,
        "fatal": problem.fatal,
    }


def place(span: Span | None) -> Json | None:
    """Return where something stands, None where nothing does."""
    if span is None:
        return None
    return {"file": span.source, "line": span.line, "column": span.column}
