"""What a typed search wants."""

import pytest

from pincheck.model.finding import Finding, Severity
from pincheck.screen.search import parse

HOT = Finding((("hotend.sensor", "table"),), "24 K low", "sensor-table-differs", Severity.DANGER)
FAN = Finding((("hotend.fan", "pin"), ("part.fan", "pin")), "both", "pins-swapped", Severity.FAULT)
LOW = Finding((("part.fan", "min_duty"),), "stands still", "fan-min-duty-too-low", Severity.ADVICE)


@pytest.mark.parametrize(
    ("typed", "wanted"),
    [
        ("", [HOT, FAN, LOW]),
        ("danger", [HOT]),
        ("danger advice", [HOT, LOW]),
        ("role:part", [FAN, LOW]),
        ("role:part fault", [FAN]),
        ("rule:swap", [FAN]),
        ("file:machine.cfg", []),
        ("24 K", [HOT]),
        ("STILL", [LOW]),
        ("colour:red", []),
        ("fan", [FAN, LOW]),
    ],
)
def test_each_word_narrows(typed, wanted):
    assert [f for f in (HOT, FAN, LOW) if parse(typed).wants(f)] == wanted
