"""A walk as one JSON document."""

import json
from pathlib import Path

from pincheck.bench.record import WalkRecord
from pincheck.bench.step import WalkStep
from pincheck.bench.text import text
from pincheck.model.printable import printable
from pincheck.reports.json import SCHEMA_VERSION


def document(record: WalkRecord) -> str:
    """Return the walk as one JSON document, as `walk.schema.json` describes it."""
    return (
        json.dumps(
            {
                "schema_version": SCHEMA_VERSION,
                "machine": printable(record.result.machine),
                "assembly": printable(record.result.assembly.name),
                "style": record.result.claims.style,
                "headline": printable(record.headline),
                "stopped_by": list(map(printable, record.stops)),
                "on_mains": list(record.left_out),
                "steps_in_all": len(record.all_steps),
                "steps": [_step(step, record) for step in record.steps],
            },
            indent=2,
        )
        + "\n"
    )


def _step(step: WalkStep, record: WalkRecord) -> dict[str, object]:
    judgement = record.judgement(step)
    reading = judgement.reading if judgement else None
    return {
        "id": step.id,
        "power": step.power,
        "role": step.role,
        "title": printable(step.title),
        "do": printable(step.do),
        "commands": list(map(printable, step.commands)),
        "undo": list(map(printable, step.undo)),
        "points": [printable(str(point)) for point in step.points],
        "unit": step.unit,
        "low": step.low,
        "high": step.high,
        "done": record.done(step),
        "reading": "open" if reading == float("inf") else reading,
        "state": judgement.state if judgement else "not checked",
        "said": printable(judgement.said) if judgement else "",
    }


def saved(record: WalkRecord, path: Path) -> str:
    """Return what goes into a file of that name: JSON for `.json`, else text."""
    if path.suffix.lower() == ".json":
        return document(record)
    return "\n".join(text(record)) + "\n"
