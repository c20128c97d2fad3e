"""Hostile input, a case for each bound and each kind; `hostile.py` beside it measures them all."""

from hostile_cases import define, gcode, handed, section, wiring
from hostile_cases.build import Build, Words

CASES: dict[str, Build] = {
    **handed.CASES,
    **define.CASES,
    **section.CASES,
    **gcode.CASES,
    **wiring.CASES,
}
"""Every case by its name."""

__all__ = ["CASES", "Build", "Words"]
