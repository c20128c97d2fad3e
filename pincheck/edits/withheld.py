"""Edits that would not do what they say on the machine: why each is not offered."""

import re
from collections.abc import Iterator, Sequence

from pincheck.analysis.roles import ANALOG, family
from pincheck.claims.interpretation import Interpretation
from pincheck.model.finding import Finding
from pincheck.styles.step import Plan, Step, key_of, section_of

_CONVERTER = re.compile(r"MAX(?:31855|31856|31865|6675)", re.IGNORECASE)


def withheld(steps: Sequence[Step], finding: Finding, machine: Interpretation) -> Iterator[str]:
    """Yield why steps must be left to a person, whatever a check of their outcome would say."""
    board = machine.assembly.boards.get(machine.assembly.main) if machine.assembly else None
    changes = finding.changes
    senses = any(family(c.role) in ANALOG and c.attribute == "pin" for c in changes)
    converted = any(fact.path and fact.path.amplifier for fact in finding.facts)
    plan = Plan(steps, changes, machine.reading, senses, board.stock_pins if board else {})
    for step in steps:
        yield from machine.style.withheld(step, plan)
        text = getattr(step, "text", "")
        if senses and text and not converted and _selects(step, plan):
            yield "the line names the chip select of a converter, not a sensor's pin"


def _selects(step: Step, plan: Plan) -> bool:
    if "CS_PIN" in key_of(step) or "spi.cs" in getattr(getattr(step, "setting", None), "value", ""):
        return True
    beside = plan.active(section_of(step)) if section_of(step) else ()
    return any(s.key == "sensor_type" and _CONVERTER.match(s.value) for s in beside)
