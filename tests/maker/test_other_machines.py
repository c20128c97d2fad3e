"""References for wiring that is not the demo's: two hot ends on an 8-bit chip, and odd parts."""

import re
from collections.abc import Callable
from pathlib import Path

import pytest

from pincheck import api
from pincheck.maker.reference import reference
from pincheck.maker.want import CannotExpressError
from pincheck.model.claim import Claims, PinValue
from pincheck.model.setting import STYLES, StyleName
from pincheck.model.wiring import Assembly

Wired = Callable[..., Assembly]
MACHINES = Path(__file__).parents[1] / "field" / "machines"
FEN = Path(__file__).parent / "fen" / "fen-twin.toml"


def _pin(claims: Claims, role: str) -> str:
    claim = claims.find(role, "pin")
    assert claim, role
    assert isinstance(claim.value, PinValue)
    assert claim.value.place, role
    return claim.value.place.pin


@pytest.mark.parametrize("style", STYLES)
def test_two_hot_ends_get_all_that_one_gets(style: StyleName) -> None:
    result = reference(api.load_wiring(FEN), style).result
    assert result.findings == ()
    pins = {"hotend.heater": "PB4", "hotend1.heater": "PB5", "hotend.sensor": "PK5",
            "hotend1.sensor": "PK7", "hotend.fan": "PL5", "hotend1.fan": "PE5",
            "part.fan": "PH3", "probe.signal": "PB6"}  # fmt: skip
    assert {role: _pin(result.claims, role) for role in pins} == pins
    for role, stands in (("hotend.heater", 260.0), ("hotend1.heater", 300.0)):
        limit, margin = (result.claims.find(role, name) for name in ("max_c", "overshoot_c"))
        assert limit
        assert isinstance(limit.value, float)
        spare = margin.value if margin else 0.0
        assert isinstance(spare, float)
        assert limit.value - spare < stands
    watched = result.claims.find("hotend1.fan", "watches")
    assert watched
    assert str(watched.value).startswith("hotend1.")


@pytest.mark.parametrize("style", STYLES)
def test_a_fan_with_a_pwm_input_is_switched_in_its_range(style: StyleName) -> None:
    """The part asks for 21 to 28 kHz, which takes a timer of the chip."""
    frequency = reference(api.load_wiring(FEN), style).result.claims.find("part.fan", "pwm_hz")
    assert frequency
    assert isinstance(frequency.value, float)
    assert 21_000 <= frequency.value <= 28_000


@pytest.mark.parametrize("style", STYLES)
@pytest.mark.parametrize(
    "replaced",
    [
        ("marsh-230-c.toml", "ntc-100k-104gt-2", "pt1000"),
        ("marsh-230-c.toml", "ntc-100k-104gt-2", "ntc-100k-b4092"),
        ("marsh-230-c.toml", "plate-marsh", "plate-glass"),
        ("marsh-230-c.toml", "endstop-switch-nc", "endstop-optical-5v"),
        ("marsh-230-c.toml", "ambient_c = 25", "ambient_c = 10"),
        ("marsh-230-c.toml", "[fit.x_motor]",
         '[fit.z]\nrole = "z.endstop"\nat = "main.stop_z"\npart = "endstop-switch-no"\n'
         "[fit.x_motor]"),
        ("marsh-230-c.toml", '[fit.hotend_fan]\nrole = "hotend.fan"\nat = "tool.hotend_fan"\n'
         'part = "fan-24v-0a1"\n', ""),
    ],
)  # fmt: skip
def test_odd_parts_still_get_a_reference(
    rewired: Wired, style: StyleName, replaced: tuple[str, str, str]
) -> None:
    assert reference(rewired(replaced), style).result.findings == ()


@pytest.mark.parametrize(
    ("machine", "style", "lines"),
    [
        # a heater, sensor and fan of the chamber, and a fan for the board
        ("pintail", "gcode", ['M308 S2 P"e1temp"', "M141 P0 H2", "M143 H2 S70", 'M950 F2 C"fan2"']),
        # the chamber is only measured, and two part fans have pins of their own
        ("dunlin", "gcode", ['M308 S2 P"PF5"', "M563 P0 D0 H1 F0:2"]),
        ("dunlin", "section", ["[temperature_sensor chamber]", "sensor_pin: PF5"]),
        # no word for a bed sensor of 10 k: three points of its curve, R = 10 k exp(...)
        ("godwit", "section", ["[thermistor bed_sensor]", "resistance1: 10000"]),
        ("godwit", "gcode", ["M563 P1 D1 H2 F0", "M906 E1130"]),
        # each tool blows with its own part fan
        ("teal", "gcode", ["M563 P0 D0 H1 F0", "M563 P1 D1 H2 F3", 'M950 F3 C"out6"']),
        # an 8-bit board: digital numbers, and channels for what is measured
        ("plover", "define", ["#define TEMP_0_PIN 13", "#define HEATER_0_PIN 10", "E0_DIR_PIN 28"]),
        # fans on the timer of the probe's servo keep its frequency
        ("spoonbill", "gcode", ['M950 F1 C"P2.4" Q50', 'M950 F2 C"P1.24" Q50']),
        ("spoonbill", "define", ["FAN1_PIN P1_24"]),
        ("shoveler", "gcode", ['M950 P0 C"']),
    ],
)
def test_what_a_style_can_say_gets_a_reference(
    machine: str, style: StyleName, lines: list[str]
) -> None:
    made = reference(api.load_wiring(MACHINES / machine / "assembly.toml"), style)
    assert made.result.findings == ()
    text = "\n".join(source.text for source in made.machine.sources)
    assert [line for line in lines if line not in text] == []


@pytest.mark.parametrize(
    ("machine", "style", "remedy"),
    [
        ("wigeon", "define", 'identifiers = ["BOARD_..."]'),
        ("redshank", "gcode", "add one under [chips]"),
        ("smew", "section", "add [limits.chamber]"),
    ],
)
def test_a_refusal_says_what_would_make_it_possible(
    machine: str, style: StyleName, remedy: str
) -> None:
    with pytest.raises(CannotExpressError, match=re.escape(remedy)):
        reference(api.load_wiring(MACHINES / machine / "assembly.toml"), style)
