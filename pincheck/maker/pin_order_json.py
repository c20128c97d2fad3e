"""A better order of a plug's pins, with its proof, as plain JSON values."""

from typing import Any

from pincheck.analysis.mating.survey import Survey
from pincheck.maker.pin_order import PinOrder
from pincheck.model.printable import printable
from pincheck.model.wiring import Assembly
from pincheck.reports.json import SCHEMA_VERSION
from pincheck.reports.mating_json import found


def record(assembly: Assembly, order: PinOrder) -> dict[str, Any]:
    """Return today's order and the one proposed, each with every mating solved."""
    return {
        "schema_version": SCHEMA_VERSION,
        "assembly": assembly.name,
        "connector": ".".join(order.connector),
        "compared": order.orders,
        "exact": order.exact,
        "changes": order.better != order.pins,
        "today": _side(assembly, order.pins, order.costs[0], order.today),
        "proposed": _side(assembly, order.better, order.costs[1], order.proposed),
    }


def _side(
    assembly: Assembly, pins: tuple[str, ...], costs: tuple[int, int], survey: Survey
) -> dict[str, Any]:
    return {
        "pins": list(map(printable, pins)),
        "worst": costs[0],
        "all": costs[1],
        "matings": [found(assembly, it) for it in survey.found],
    }
