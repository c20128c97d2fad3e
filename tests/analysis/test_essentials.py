"""Exit code 0 wants that whatever can burn or jam was judged, not only that nothing was found."""

import pytest

from pincheck import api
from pincheck.cli.main import main

WIRING = ["--wiring", str(api.demo("marsh-230-c.toml"))]


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        (
            "sensor_type: ATC Semitec 104GT-2",
            "sensor_type: My Own Bead",
            "sensor table of hotend.sensor",
        ),
        ("max_temp: 255", "", "highest temperature allowed of hotend.heater"),
        ("heater_pin: PC8", "heater_pin: what:PC8", "pin of hotend.heater"),
        ("min_temp: 0\nmax_temp: 255", "min_temp: -60\nmax_temp: 255", "lowest temperature"),
        (
            "pullup_resistor: 4700",
            "inline_resistor: abc",
            "resistor assumed in line with the sensor",
        ),
        ("sensor_pin: ^PB1", "sensor_pin: ^what:PB1", "pin of probe.signal"),
    ],
)
def test_what_was_not_judged_stands_in_the_headline(tmp_path, capsys, old, new, told):
    for name in ("machine.cfg", "toolhead.cfg"):
        text = (api.demo("clean/section") / name).read_text()
        (tmp_path / name).write_text(text.replace(old, new))
    code = main(["check", str(tmp_path), *WIRING])
    out = " ".join(capsys.readouterr().out.split())
    assert code == 3
    assert told in out


def test_near_miss_all_of_it_judged(capsys):
    for style in ("section", "define", "gcode"):
        assert main(["check", str(api.demo("clean") / style), *WIRING]) == 0
    capsys.readouterr()


def test_advice_below_the_threshold_does_not_hide_what_was_not_judged(tmp_path, capsys):
    for name in ("machine.cfg", "toolhead.cfg"):
        text = (api.demo("clean/section") / name).read_text()
        text = text.replace("sensor_type: ATC Semitec 104GT-2", "sensor_type: My Own Bead")
        (tmp_path / name).write_text(text)
    assert main(["check", str(tmp_path), *WIRING, "--at-least", "danger"]) == 3
    capsys.readouterr()


def test_a_wiring_without_a_hot_end_fan_is_not_all_judged(tmp_path, wiring, capsys):
    """Absent on both sides it would agree, and the hot end jams in minutes."""
    fan = '[fit.hotend_fan]\nrole = "hotend.fan"'
    folder = wiring(("marsh-230-c.toml", fan, '[fit.hotend_fan]\nrole = "aux.fan"'))
    (tmp_path / "mine").mkdir()
    for name in ("machine.cfg", "toolhead.cfg"):
        text = (api.demo("clean/section") / name).read_text()
        text = text.replace("[heater_fan hotend_fan]", "[fan_generic spare]")
        (tmp_path / "mine" / name).write_text(text.replace("heater: extruder\n", ""))
    code = main(["check", str(tmp_path / "mine"), "-w", str(folder / "marsh-230-c.toml")])
    assert code == 3
    assert "pin of hotend.fan" in " ".join(capsys.readouterr().out.split())
