"""Results as JSON, and the pieces that every JSON document of the project is made of.

The folder `schemas` has the contract of each document; what they share is written there once.
"""

import json
from collections.abc import Iterable
from pathlib import Path
from typing import Any

from pincheck.analysis.stamp import origins
from pincheck.model.claim import Claim
from pincheck.model.finding import Fact, Finding, Number, Proposal, Result, Severity
from pincheck.model.printable import printable
from pincheck.model.problem import Problem
from pincheck.model.source import Span
from pincheck.reports import sentences

SCHEMA_VERSION = 1
"""Raised when a field changes its meaning or goes; new fields do not raise it."""

SCHEMAS = Path(__file__).with_name("schemas")

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
        "headline": sentences.headline(result),
        "counts": counts(result),
        "origins": list(origins(result)),
        "slip": _slip(result),
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
        "unjudged": [
            {"role": it.role, "attribute": it.attribute, "reason": it.reason}
            for it in result.unjudged
        ],
        "problems": [problem_record(problem) for problem in result.problems],
        "not_sent": sorted({missing.name for missing in result.claims.not_sent}),
        "plug_danger": printable(result.plug_danger),
        "cautions": list(sentences.cautions(result)),
    }


def _slip(result: Result) -> Json | None:
    slip = result.slip
    if slip is None:
        return None
    return {
        "message": printable(slip.message),
        "mend": printable(slip.mend),
        "removes": [at for at, it in enumerate(result.findings) if it in slip.removes],
        "among": slip.among,
        "hidden": slip.hidden,
        "place": place(slip.at),
    }


def counts(result: Result | None) -> Json:
    """Return how many findings have each severity and verdicts each state, 0 without a result."""
    return {
        **{it.word: result.count(it) if result else 0 for it in reversed(Severity)},
        "agrees": result.tally("agrees") if result else 0,
        "contradicts": result.tally("contradicts") if result else 0,
        "not_checked": result.tally("not checked") if result else 0,
    }


def finding_record(finding: Finding) -> Json:
    """Return what a finding says and where, without its evidence."""
    return {
        "rule": finding.rule,
        "severity": finding.severity.word,
        "when": finding.when.words,
        "spots": [{"role": role, "attribute": attribute} for role, attribute in finding.spots],
        "message": printable(finding.message),
        "advice": printable(finding.advice),
        "place": place(finding.span),
    }


def _finding(finding: Finding, proposal: Proposal | None) -> Json:
    return {
        **finding_record(finding),
        "claims": [claim_record(claim) for claim in finding.claims],
        "facts": [_fact(fact) for fact in finding.facts],
        "numbers": [number_record(number) for number in finding.numbers],
        "effects": [finding_record(effect) for effect in finding.effects],
        "edit": _proposal(proposal) if proposal else None,
    }


def claim_record(claim: Claim) -> Json:
    """Return a claim and the place of its line."""
    return {
        "role": claim.role,
        "attribute": claim.attribute,
        "value": sentences.value_text(claim.value),
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


def number_record(number: Number) -> Json:
    """Return a figure with what it was worked out from."""
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
