"""Answers in the manner of each style's console."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pincheck.console.replies import Shown, switches, temperatures


@pytest.mark.parametrize(
    ("lines", "hot", "bed"),
    [
        (["T:21.50 /0.00 B:22.10 /60.00 @:0 B@:127"], Shown(21.5, 0.0), Shown(22.1, 60.0)),
        (["B:22.1 /60.0 T0:21.5 /0.0"], Shown(21.5, 0.0), Shown(22.1, 60.0)),
        (["T0:21.5 /0.0 /0.0 B:22.1 /60.0 /0.0"], Shown(21.5, 0.0), Shown(22.1, 60.0)),
        (["echo: hello", "T:-15.0 E:0 B:22.1"], Shown(-15.0), Shown(22.1)),
    ],
)
def test_temperatures_are_told_by_their_short_names(lines, hot, bed):
    found = temperatures(lines)
    assert found.get("T", found.get("T0")) == hot
    assert found["B"] == bed


def test_what_stands_for_an_open_sensor_is_no_temperature():
    assert temperatures(["T0:9999.0 /0.0 B:21.0 /0.0"]) == {"B": Shown(21.0, 0.0)}


@pytest.mark.parametrize(
    ("lines", "found"),
    [
        (
            ["Reporting endstop status", "x_min: open", "z_probe: TRIGGERED"],
            {"x_min": False, "z_probe": True},
        ),
        (["x:open y:TRIGGERED z:open"], {"x": False, "y": True, "z": False}),
        (["// probe: TRIGGERED"], {"probe": True}),
        (
            ["Endstops - X: at min stop, Y: not stopped, Z probe: not stopped"],
            {"x": True, "y": False, "z probe": False},
        ),
        (["// Filament Sensor spool: filament not detected"], {"filament": True}),
        (["// Filament Sensor spool: filament detected"], {"filament": False}),
        (["Extruder 0 sensor, filament present: no"], {"filament": True}),
        (["T:21.0 /0.0"], {}),
    ],
)
def test_switches_are_told_by_name(lines, found):
    assert switches(lines) == found


@given(st.lists(st.text(max_size=60), max_size=5))
def test_no_answer_breaks_the_reading_of_it(lines):
    assert isinstance(temperatures(lines), dict)
    assert isinstance(switches(lines), dict)
