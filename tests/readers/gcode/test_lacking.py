"""Commands that lack the letter without which they do nothing."""

import pytest

from pincheck import styles
from pincheck.model.source import Source


def told(text):
    reading = styles.of("gcode").read((Source.of_text("config.g", text),))
    return [(problem.span.line, problem.message) for problem in reading.problems]


@pytest.mark.parametrize(
    "text", ["M570 P5 T15", 'M106 L0.2 C"x"', "M563 D0 H1 F0", 'M308 P"temp0" Y"thermistor"']
)
def test_a_command_that_does_not_say_which_is_told_at_its_line(text):
    line, message = told(f"G21\n{text}\n")[0]
    assert line == 2
    assert message.endswith("does not say which one it means and does nothing")


def test_a_tool_with_a_heater_and_no_drive_extrudes_nothing():
    assert [message for _, message in told("M563 P0 H1 F0\n")] == [
        "this tool has a heater and no drive: it extrudes nothing"
    ]


@pytest.mark.parametrize(
    "text",
    ["M570 H1 P5", "M570 S300", "M106 S255", "M106 P0 L0.2", "M563 P0 D0 H1", "M563", "M308",
     "M563 P1 S\"Spindle\" R0", ";M570 P5"],
)  # fmt: skip
def test_near_miss_a_command_that_has_what_it_needs(text):
    assert told(f"{text}\n") == []
