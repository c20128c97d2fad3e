"""`tachometer-pull-missing`, `tachometer-miscounts`, and the pin of a tachometer in each style."""

import pytest

from pincheck.model.finding import Severity
from pincheck.rules.fans.third_wire import tachometer

PULL, COUNT = "tachometer-pull-missing", "tachometer-miscounts"
UP = "pullup = { ohm = 10000, to_v = 3.3 }"
LINES = {
    "section": ("toolhead.cfg", "fan_speed: 1.0", "fan_speed: 1.0\ntachometer_pin: {pull}{pin}"),
    "gcode": ("toolhead.g", 'F1 C"fan0"', 'F1 C"fan0+{pull}{pin}"'),
    "define": (
        "machine_adv.h",
        "#define EXTRUDER_AUTO_FAN_SPEED",
        "#define E0_FAN_TACHO_PIN {pin}\n{pull}#define EXTRUDER_AUTO_FAN_SPEED",
    ),
}
STYLES = sorted(LINES)


def written(style, pin="PC6", pull=True, net="", more=""):
    """Return the demo with a tachometer on PC6, and a line of the style that reads it."""
    file, old, new = LINES[style]
    sign = "#define E0_FAN_TACHO_PULLUP\n" if style == "define" else "^"
    line = (file, old, new.format(pin=pin, pull=sign if pull else "") + more)
    return (*tachometer("", net)[:4], line)


def verdict(result, attribute, role="hotend.tachometer"):
    (found,) = (v for v in result.verdicts if (v.role, v.attribute) == (role, attribute))
    return found.state


def rules(result):
    return [finding.rule for finding in result.findings]


@pytest.mark.parametrize("style", STYLES)
def test_on_its_pin_with_a_pull_up_it_agrees(demo, style):
    result = demo(style, *written(style))
    assert not result.findings
    assert verdict(result, "pin") == verdict(result, "pull") == "agrees"


@pytest.mark.parametrize("style", STYLES)
def test_nothing_lifts_the_line(demo, style):
    result = demo(style, *written(style, pull=False))
    (found,) = result.findings
    assert (found.rule, found.severity) == (PULL, Severity.FAULT)
    assert found.message == (
        "Nothing pulls the hot-end fan's tachometer's line up while its part lets go of it: the "
        "level floats, and the speed shown is noise, or 0 while the fan turns."
    )
    assert [(c.attribute, c.value) for c in found.changes] == [("pull", "up")]


@pytest.mark.parametrize("style", STYLES)
def test_near_miss_the_board_has_a_pull_up(demo, style):
    result = demo(style, *written(style, pull=False, net=UP))
    assert not result.findings
    assert verdict(result, "pull") == "agrees"


@pytest.mark.parametrize("style", STYLES)
def test_a_pin_that_the_copper_does_not_lead_to(demo, style):
    result = demo(style, *written(style, pin="PC7"))
    (found,) = result.findings
    assert (found.rule, found.severity) == ("pin-differs", Severity.FAULT)
    assert "is wired to PC6: the hot-end fan's tachometer is not read" in found.message
    assert [(c.attribute, c.value.place.pin) for c in found.changes] == [("pin", "PC6")]


@pytest.mark.parametrize("style", STYLES)
@pytest.mark.parametrize(
    ("pin", "role", "severity"),
    [("PB6", "hotend.fan", Severity.FAULT), ("PC5", "hotend.sensor", Severity.DANGER)],
)
def test_a_pin_of_another_part_spoils_that_one_too(demo, style, pin, role, severity):
    result = demo(style, *written(style, pin=pin))
    (found,) = (f for f in result.findings if f.rule == "pin-claimed-twice")
    assert found.severity is severity
    assert found.roles == ("hotend.tachometer", role)
    assert verdict(result, "pin", role) == "contradicts"


@pytest.mark.parametrize("style", ["gcode", "section"])
def test_a_tachometer_that_nothing_reads_is_told_and_can_be_added(demo, style):
    result = demo(style, *tachometer("", "")[:4])
    (found,) = result.findings
    assert (found.rule, found.severity) == ("role-not-configured", Severity.ADVICE)
    assert "nobody learns that the fan stands still" in found.message
    assert [c.attribute for c in found.changes] == ["pin", "pull"]


def test_one_that_the_fan_does_not_have(demo):
    result = demo("section", (*LINES["section"][:2], "fan_speed: 1.0\ntachometer_pin: ^PC6"))
    (found,) = result.findings
    assert (found.rule, found.severity) == ("role-not-fitted", Severity.ADVICE)
    assert "no pulse ever comes" in found.message


@pytest.mark.parametrize(("style", "more"), [("section", "\ntachometer_ppr: 4"), ("gcode", " K4")])
def test_pulses_of_one_turn(demo, style, more):
    """The part gives 2 pulses a turn: taken for 4 they make 2 / 4 = 0.5 of the speed."""
    result = demo(style, *written(style, more=more))
    (found,) = result.findings
    assert (found.rule, found.severity) == (COUNT, Severity.ADVICE)
    assert found.message == (
        "The hot-end fan's tachometer gives 2 pulses a turn, and the firmware takes 4 for one: "
        "the speed shown is 0.5 times the real one."
    )
    near = demo(style, *written(style, more=more.replace("4", "2")))
    assert not near.findings
    assert verdict(near, "pulses") == "agrees"


def test_looked_at_too_seldom(demo):
    """30 s / (2 pulses x 9000 x 1.1) = 1.515 ms."""
    line = "\ntachometer_poll_interval: {}"
    result = demo("section", *written("section", more=line.format("0.0016")))
    (found,) = result.findings
    assert (found.rule, found.severity) == (COUNT, Severity.FAULT)
    assert "every 1.6 ms" in found.message
    assert "half a pulse may last only 1.52 ms" in found.message
    assert [(c.attribute, c.value) for c in found.changes] == [("poll_s", 0.0015)]
    assert not demo("section", *written("section", more=line.format("0.0015"))).findings


@pytest.mark.parametrize("value", ["0", "1000000"])
def test_a_wild_time_is_no_agreement(demo, value):
    result = demo("section", *written("section", more=f"\ntachometer_poll_interval: {value}"))
    assert "setting-out-of-range" in rules(result)


def test_a_level_that_the_pin_does_not_stand(demo):
    """24 V through 10 k into a pin of a 3.3 V chip."""
    result = demo("section", *written("section", net="pullup = { ohm = 10000, to_v = 24.0 }"))
    assert any("hot-end fan's tachometer puts 24.0 V on PC6" in f.message for f in result.findings)


def test_an_open_terminal_is_no_fault_until_a_line_asks_for_it(demo):
    wiring = tachometer("", "")[:4]
    apart = ("boards/heron-2.toml", '"FAN0", "TACHO"]', '"FAN0", ""]')
    off = [(f, o, n.replace(apart[1], apart[2])) for f, o, n in wiring if "nets.TACHO" not in n]
    assert not demo("section", *off).findings
    result = demo("section", *off, (*LINES["section"][:2], "fan_speed: 1\ntachometer_pin: ^PC6"))
    (found,) = result.findings
    assert found.rule == "no-chip-pin"
    assert (
        "The hot-end fan's tachometer reaches no chip pin: fan 3 of Heron 2 is not connected"
        in found.message
    )
