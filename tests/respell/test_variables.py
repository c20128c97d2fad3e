"""A value from a variable is changed where the variable gets it, if nothing else is changed."""

import pytest
from applied import read

from pincheck.model.claim import Claim
from pincheck.model.finding import Change
from pincheck.model.source import Source
from pincheck.respell.steps import steps
from pincheck.styles.step import CannotSpellError, Replace

HEAD = 'M308 S1 P"temp0" Y"thermistor"\nM950 H1 C"out1" T1\nM563 P0 D0 H1\n'


def changed(script: str) -> Replace:
    """Return the step that sets the hot end's limit to 260 C in a script of its own."""
    reading = read("gcode", Source.of_text("config.g", HEAD + script))
    setting = next(s for s in reversed(reading.settings) if s.section == "M143 H1" and s.key == "S")
    claim = Claim("hotend.heater", "max_c", 300.0, setting)
    (step,) = steps([Change("hotend.heater", "max_c", 260.0, claim)], reading, None)
    assert isinstance(step, Replace)
    return step


@pytest.mark.parametrize("kind", ["global", "var"])
def test_a_constant_for_this_alone_is_changed_at_its_own_line(kind: str) -> None:
    step = changed(f"{kind} lim = 300 ; {kind}.lim of the liner\nM143 H1 S{{{kind}.lim}}\n")
    assert step.text == "260"
    assert step.setting.source.line(step.setting.span.line).startswith(f"{kind} lim = 300")
    assert step.setting.source.text[step.setting.value_start : step.setting.value_end] == "300"


@pytest.mark.parametrize(
    ("script", "why"),
    [
        ("global lim = 300\nM143 H1 S{global.lim + 0}\n", "an expression"),
        ("global lim = 300\nM143 H2 S{global.lim}\nM143 H1 S{global.lim}\n", "more than this"),
        ("global lim = 1\nset global.lim = 300\nM143 H1 S{global.lim}\n", "more than this"),
        ("global lim = 150 * 2\nM143 H1 S{global.lim}\n", "worked out at config.g:4"),
        ("M143 H1 S{global.lim}\n", "which no file sets"),
    ],
)
def test_what_else_depends_on_the_line_is_left_to_a_person(script: str, why: str) -> None:
    with pytest.raises(CannotSpellError, match=why):
        changed(script)
