"""Wrong matings and what they do, as plain JSON values."""

from typing import Any

from pincheck.analysis.mating.harm import MatingHarm
from pincheck.analysis.mating.prevention import prevention
from pincheck.analysis.mating.survey import Survey
from pincheck.model.printable import printable
from pincheck.model.wiring import Assembly
from pincheck.reports.json import SCHEMA_VERSION
from pincheck.reports.mating_text import headline
from pincheck.wiring.plugs import Mating


def record(assembly: Assembly, survey: Survey) -> dict[str, Any]:
    """Return every mating that was solved, in the order of the text."""
    return {
        "schema_version": SCHEMA_VERSION,
        "assembly": assembly.name,
        "headline": headline(survey),
        "matings": [found(assembly, it) for it in survey.found],
        "left_out": survey.left_out,
    }


def found(assembly: Assembly, it: MatingHarm) -> dict[str, Any]:
    """Return one wrong mating with its harms."""
    return {
        **_mating(it.mating),
        "same": [_mating(other) for other in it.same],
        "dangerous": it.dangerous,
        "prevented": it.prevented,
        "prevention": prevention(assembly, it.mating),
        "harms": [
            {
                "kind": harm.kind,
                "about": printable(harm.about),
                "text": printable(harm.text),
                "current_a": round(harm.current_a, 6),
                "pins": list(map(printable, harm.pins)),
            }
            for harm in it.harms
        ],
        "unsolved": it.unsolved,
    }


def _mating(mating: Mating) -> dict[str, Any]:
    return {
        "connector": ".".join(mating.connector),
        "kind": mating.kind,
        "how": mating.how,
        "other": ".".join(mating.other) if mating.other else "",
        "prevented_by": list(mating.prevented_by),
    }
