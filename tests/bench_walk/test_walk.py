"""The walk on the demo machine: where to measure and the bands, against figures from outside."""

import math
import shutil
from functools import cache
from pathlib import Path

import pytest
from scipy.integrate import solve_ivp

from pincheck import api
from pincheck.bench import walk
from pincheck.bench.record import WalkRecord
from pincheck.bench.text import text
from pincheck.bench.walk import ROOM_ID, on_mains

MACHINES = Path(__file__).parents[1] / "field/machines"

AWG_OHM_KM = {14: 8.286, 20: 33.31, 26: 133.9}
"""Copper at 20 C, ohm per km (tables of American wire gauge, ASTM B258 solid wire)."""


@cache
def steps(kind="clean", wiring="marsh-230-c.toml", configuration="section", room_c=None):
    machine = api.load_configuration(api.demo(kind) / configuration)
    result = api.check(machine, api.load_wiring(api.demo(wiring)))
    return {step.id: step for step in walk(result, room_c)}


def test_every_step_has_its_own_name_and_each_heater_is_put_back_without_power():
    machine = api.load_configuration(api.demo("clean/section"))
    found = walk(api.check(machine, api.load_wiring(api.demo("marsh-230-c.toml"))))
    assert len({step.id for step in found}) == len(found)
    first = next(n for n, step in enumerate(found) if step.power == "on")
    back = [step.id for step in found[first:] if step.power == "off"]
    assert back == ["hotend.heater plugged in", "bed.heater plugged in"]
    assert found[0].id == ROOM_ID


def test_nothing_is_heated_before_sensors_switches_and_rails_are_right():
    order = list(steps())
    heat = order.index("hotend.heater warms")
    for before in ("tool.24V voltage", "hotend.sensor shown", "x.endstop answers"):
        assert order.index(before) < heat
    assert order.index("hotend.fan turns") > heat


def test_the_heater_is_measured_through_ribbon_and_breakout():
    step = steps()["hotend.heater resistance"]
    assert [(p.connector, p.pins) for p in step.points] == [
        ("toolhead", (1, 2, 5, 6)),
        ("toolhead", (3, 4)),
    ]
    # The plug hangs free: whichever of the pins is touched, one ribbon conductor of 0.6 m leads
    # there and one back, and 0.15 m of the heater's own each way. Wire is 0.98 to 1.04 of the
    # table; at most 30 mohm each are the track and the contacts at its ends, either way.
    wires = 2 * (0.6 * AWG_OHM_KM[26] + 0.15 * AWG_OHM_KM[20]) / 1000
    assert step.low == pytest.approx(14.4 * 0.95 + 0.98 * wires, abs=0.005)
    assert step.high == pytest.approx(14.4 * 1.05 + 1.04 * wires + 6 * 0.03 + 0.5, abs=0.005)


def test_a_part_at_the_mainboard_is_measured_on_its_own_plug():
    step = steps()["bed.heater resistance"]
    assert {p.connector for p in step.points} == {"bed"}
    wires = 2 * 0.6 * AWG_OHM_KM[14] / 1000
    assert step.low == pytest.approx(2.88 * 0.95 + 0.98 * wires, abs=0.005)


def test_on_a_board_with_a_chip_parts_are_measured_there():
    found = steps(wiring="marsh-230-curlew.toml", configuration="section-curlew")
    assert {p.connector for p in found["hotend.heater resistance"].points} == {"heater"}
    assert {p.board for p in found["hotend.heater resistance"].points} == {"Curlew 1"}


@pytest.mark.parametrize("room_c", [15.0, 20.0, 30.0])
def test_a_thermistor_is_expected_at_what_its_beta_gives_in_the_room(room_c):
    # R(T) = R25 exp(B (1/T - 1/T25)), the textbook beta formula, 3 K and 1 % either way.
    step = steps(room_c=room_c)["bed.sensor resistance"]

    def ohm(temp_c):
        return 100_000 * math.exp(3950 * (1 / (temp_c + 273.15) - 1 / 298.15))

    assert step.low < ohm(room_c) < step.high
    assert step.low == pytest.approx(ohm(room_c + 3), rel=0.04)
    assert step.high == pytest.approx(ohm(room_c - 3), rel=0.04)


def test_the_sensor_voltage_follows_from_divider_and_resistance():
    found = steps()
    ohm, volt = found["bed.sensor resistance"], found["bed.sensor voltage"]
    # The pull-up is 1 % either way, its regulator 4 %; a pin leaks at most 1 uA, 3.3 Mohm.
    for r, u, way in ((ohm.low, volt.low, -1), (ohm.high, volt.high, 1)):
        r = r / (1 + r / 3.3e6) if way < 0 else r
        expected = 3.3 * (1 + 0.04 * way) * r / (r + 4700 * (1 - 0.01 * way))
        assert u == pytest.approx(expected, rel=0.002)


def test_a_wrong_table_is_foretold_and_a_right_one_is_not(tmp_path):
    assert steps()["hotend.sensor shown"].note == ""
    found = changed(tmp_path, "clean/section/toolhead.cfg", "ATC Semitec 104GT-2", "PT1000")
    assert "will show about 850 C" in found["hotend.sensor shown"].note
    assert found["hotend.sensor shown"].high == steps()["hotend.sensor shown"].high


def changed(folder, file, old, new):
    """Return the steps of the clean demo with one text of one file replaced."""
    copied = folder / "configs"
    shutil.copytree(api.demo("."), copied)
    before = (copied / file).read_text()
    assert old in before
    (copied / file).write_text(before.replace(old, new))
    machine = api.load_configuration(copied / "clean" / "section")
    result = api.check(machine, api.load_wiring(copied / "marsh-230-c.toml"))
    return {step.id: step for step in walk(result)}


def test_the_time_of_the_first_heat_is_that_of_the_differential_equation():
    step = steps()["hotend.heater warms"]
    inputs = {item.name: item.value for item in step.numbers[0].inputs}
    power = 24.0**2 / 14.4
    capacity, loss = inputs["heat capacity"], inputs["heat loss"]
    lag, dead = 3.0, 1.0

    def rates(_, state):
        block, sensor = state
        return [(power - loss * (block - 25)) / capacity, (block - sensor) / lag]

    def reached(_, state):
        return state[1] - 48

    reached.terminal = True
    solved = solve_ivp(rates, (0, 600), [25.0, 25.0], events=reached, rtol=1e-8)
    takes = solved.t_events[0][0] + dead
    assert step.numbers[0].value == pytest.approx(takes, rel=0.01)
    assert step.low < takes < step.high


def test_switches_are_expected_as_their_kind_says():
    found = steps()
    assert found["x.endstop untouched"].high == pytest.approx(2.5, abs=0.01)
    assert found["x.endstop hit"].low == 1e6
    assert found["filament.sensor untouched"].low == 1e6


def test_rails_are_looked_for_shorts_and_voltage_where_the_tool_head_gets_them():
    found = steps()
    assert found["main.toolhead 24V not shorted"].low == 100
    rail = found["tool.24V voltage"]
    # 5 % of the supply; the probe's 0.3 A come back over one conductor of the ribbon.
    assert (rail.low, rail.high) == pytest.approx((22.8, 25.2), abs=0.05)
    assert {p.board for p in rail.points} == {"Lapwing C"}
    assert (found["tool.5V voltage"].low, found["tool.5V voltage"].high) == pytest.approx(
        (4.8, 5.2), abs=0.1
    )


def test_a_rail_is_measured_in_the_widest_socket_and_clipped_on_where_pins_stand_close():
    """24 V at the heater's socket, not beside 5 V on the ribbon's header of 2.54 mm."""
    rail = steps()["tool.24V voltage"]
    assert rail.points[0].connector == "heater"
    assert "link" not in {point.connector for point in steps()["tool.5V voltage"].points}
    assert steps()["tool.5V voltage"].do.startswith("With the power off clip both probes on")


def test_no_heater_is_plugged_in_before_its_own_step():
    found = steps()
    order = list(found)
    assert "heater of Lapwing C (hot-end heater) and bed of Heron 2" in (
        found["plugs for the first switch-on"].do
    )
    assert order.index("plugs for the first switch-on") < order.index("tool.24V voltage")
    for group in ("hotend", "bed"):
        at = order.index(f"{group}.heater plugged in")
        assert order[at + 1] == f"{group}.heater warms"
        assert "pull the mains plug and the USB lead" in found[order[at]].do


def test_homing_comes_last_and_is_supervised():
    found = steps()
    assert list(found)[-3:] == ["x homes", "y homes", "z homes"]
    for axis, hit in (("x", "press the x endstop"), ("z", "touch the probe")):
        assert "One hand on the switch, the carriage far" in found[f"{axis} homes"].do
        assert hit in found[f"{axis} homes"].do


COMMANDS = {
    "define": ("M104 S60", "M104 S0", "M106 P0 S255", "M280 P0 S10", "M280 P0 S90", "M119"),
    "section": (
        "SET_HEATER_TEMPERATURE HEATER=extruder TARGET=60",
        "SET_HEATER_TEMPERATURE HEATER=extruder TARGET=0",
        "M106 S255",
        "BLTOUCH_DEBUG COMMAND=pin_down",
        "BLTOUCH_DEBUG COMMAND=pin_up",
        "QUERY_PROBE",
    ),
    "gcode": ("M568 P0 S60 A2", "M568 P0 A0", "M106 P0 S255", "M280 P0 S10", "M280 P0 S90", "M119"),
}


@pytest.mark.parametrize("style", COMMANDS)
def test_each_step_gives_its_command_in_the_style_at_hand(style):
    found = steps(configuration=style)
    heat, fan = found["hotend.heater warms"], found["part.fan turns"]
    deploys, stows = found["probe.servo deploys"], found["probe.servo stows"]
    probe = found["probe.signal answers"]
    given = [heat.commands, heat.undo, fan.commands, deploys.commands, stows.commands]
    assert tuple(lines[0] for lines in (*given, probe.commands)) == COMMANDS[style]
    assert found["hotend.sensor shown"].commands == ("M105",)


def test_a_mains_part_has_no_step_of_any_kind(tmp_path):
    """What is rated at mains voltage is on mains, whether or not its entry says so."""
    shutil.copytree(api.demo("."), tmp_path / "configs")
    parts = tmp_path / "configs/parts.toml"
    parts.write_text(parts.read_text().replace("mains = true\n", ""))
    file = tmp_path / "configs/marsh-230-c.toml"
    file.write_text(file.read_text().replace("bed-24v-200w", "bed-230v-600w"))
    machine = api.load_configuration(api.demo("clean/section"))
    result = api.check(machine, api.load_wiring(file))
    found = {step.role for step in walk(result)}
    assert "bed.heater" not in found
    assert "bed.sensor" in found
    assert on_mains(result) == ("bed.heater",)


@pytest.mark.parametrize("name", ["dunlin", "knot"])
def test_nobody_is_sent_to_measure_or_heat_behind_a_mains_relay(name):
    folder = MACHINES / name
    result = api.check(
        api.load_configuration(folder / "config"), api.load_wiring(folder / "assembly.toml")
    )
    for step in walk(result):
        assert step.role != "bed.heater"
        assert (step.high or 0) < 50 or step.unit != "V"
        assert all("relay" not in point.board for point in step.points)
    page = "\n".join(text(WalkRecord(result)))
    assert "bed heater put back" not in page
    said = "No step for the bed heater, on mains. Mains wiring belongs to licensed practice"
    assert page.count(said) == page.count("Mains wiring") == 1


@pytest.mark.parametrize("style", ["define", "section", "gcode"])
def test_the_walk_does_not_hang_on_the_style(style):
    assert list(steps("planted", configuration=style)) == list(steps("planted"))


@pytest.mark.parametrize("folder", sorted(MACHINES.iterdir()), ids=lambda it: it.name)
def test_every_machine_has_a_walk_whose_bands_are_some(folder):
    result = api.check(
        api.load_configuration(folder / "config"), api.load_wiring(folder / "assembly.toml")
    )
    for step in walk(result):
        assert step.unit in ("", "C", "s") or step.low != step.high
        assert step.low is None or step.high is None or 0 < step.low < step.high < math.inf
