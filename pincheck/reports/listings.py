"""Claims and traces as plain JSON values."""

from collections.abc import Iterable

from pincheck.model.claim import Claims
from pincheck.model.path import Path, Trace
from pincheck.model.problem import Problem
from pincheck.reports.json import SCHEMA_VERSION, Json, claim_record, place, problem_record


def claims_record(name: str, style: str, claims: Claims, problems: Iterable[Problem]) -> Json:
    """Return what a configuration claims, and what was overridden, not sent or not understood."""
    return {
        "schema_version": SCHEMA_VERSION,
        "machine": name,
        "style": style,
        "claims": list(map(claim_record, claims.all)),
        "overridden": [
            {"claim": claim_record(loser), "by": claim_record(winner)}
            for loser, winner in claims.overridden
        ],
        "not_sent": sorted({missing.name for missing in claims.not_sent}),
        "not_understood": [
            {"section": it.section, "key": it.key, "value": it.value, "place": place(it.span)}
            for it in claims.not_understood
        ],
        "problems": list(map(problem_record, problems)),
    }


def trace_record(name: str, trace: Trace, roles: Iterable[str]) -> Json:
    """Return the copper of these roles, hop by hop from the chip pin, and every wiring fault."""
    return {
        "schema_version": SCHEMA_VERSION,
        "assembly": name,
        "roles": [
            {
                "role": role,
                "part": wired.part.id,
                "pin": str(wired.place) if wired.place else "",
                "path": _hops(wired.path),
                "supply": _hops(wired.supply),
                "supply_v": wired.supply_v,
                "reason": wired.reason,
            }
            for role in roles
            if (wired := trace.find(role))
        ],
        "faults": [
            {
                "kind": fault.kind,
                "roles": list(fault.roles),
                "message": fault.message,
                "place": place(fault.at),
            }
            for fault in trace.faults
        ],
    }


def _hops(path: Path | None) -> list[Json]:
    return [{"kind": hop.kind, "text": hop.text} for hop in (path.hops if path else ())]
