"""Small boards whose currents are worked out by hand, and what a whole check says of each."""

import pytest

from pincheck import api
from pincheck.circuit import circuit, states
from pincheck.model.finding import Severity
from pincheck.reports import figures

MAIN = """
[board]
name = "Dotterel"
chip = "stm32f401rct6"
supply_v = 24.0
supply_max_a = 15.0
[nets]
G_HEAT = { chip_pin = "PC8" }
G_PART = { chip_pin = "PB8" }
G_SPARE = { chip_pin = "PB6" }
TH = { chip_pin = "PC5", pullup = { ohm = 4700, to_v = 3.3 } }
[connectors]
link = { contact_a = 1.0, pins = [%s] }
strip = { pins = ["24V", "GND"] }
"""
HEAD = """
[board]
name = "Dunnock"
[nets]
HEAT = { driven_by = "G_HEAT", switch = { side = "low", max_a = 5.0, rds_on_mohm = 10 } }
PART = { driven_by = "G_PART", switch = { side = "low", max_a = 1.0, rds_on_mohm = 50 } }
GND = { track = { width_mm = 0.26, layer = "inner" } }
G_SPARE = { pulldown = { ohm = 10000 } }
[connectors]
link = { contact_a = 1.0, pins = [%s] }
heater = { pins = ["24V", "HEAT"] }
fan = { pins = ["24V", "PART"] }
th = { pins = ["TH", "GND"] }
"""
ASSEMBLY = """
[assembly]
name = "Rail"
parts = ["parts.toml"]
[boards]
main = "main.toml"
head = "head.toml"
[[cables]]
from = "main.link"
to = "head.link"
%s
wire = { awg = 28, length_m = 0.9 }
[fit]
heater = { role = "hotend.heater", at = "head.heater", part = "heater-24v-40w" }
sensor = { role = "hotend.sensor", at = "head.th", part = "ntc-100k-104gt-2" }
fan = { role = "part.fan", at = "head.fan", part = "fan-24v-0a3" }
%s
"""
PARTS = """
[strip-5v]
kind = "output"
terminals = ["supply", "ground"]
rated_v = 5.0
current_a = 0.5
"""
CONFIG = """
[extruder]
heater_pin: PC8
sensor_pin: PC5
sensor_type: ATC Semitec 104GT-2
pullup_resistor: 4700
min_temp: 0
max_temp: 250
[fan]
pin: PB8
"""
ONE_GROUND = ["24V"] * 4 + ["G_HEAT", "G_PART", "G_SPARE", "TH", "GND"]
FOUR_GROUNDS = ["24V"] * 2 + ["G_HEAT", "G_PART", "G_SPARE", "TH"] + ["GND"] * 4


@pytest.fixture
def rail(tmp_path):
    """Return a maker of the small machine: its assembly, and a check's findings by rule."""

    def make(pins, wiring="", more="", main=MAIN, head=HEAD, machine=ASSEMBLY, config=CONFIG):
        listed = ", ".join(f'"{pin}"' for pin in pins)
        files = {
            "main.toml": main % listed,
            "head.toml": head % listed,
            "assembly.toml": machine % (wiring, more),
            "parts.toml": PARTS,
            "config/printer.cfg": config,
        }
        (tmp_path / "config").mkdir()
        for name, text in files.items():
            (tmp_path / name).write_text(text)
        assembly = api.load_wiring(tmp_path / "assembly.toml")
        result = api.check(api.load_configuration(tmp_path / "config"), assembly)
        make.result = result
        return assembly, {it.rule: it for it in result.findings}

    return make


def on(assembly):
    made = circuit(assembly)
    return made.solve(states.all_loads(made.network))


def test_one_ground_for_a_heater(rail):
    """One ground wire of 0.9 m 28 AWG, 0.1916 ohm, with two contacts 0.2116; tracks of 5 + 5 mohm
    at head and main. Out by four: (0.1916 + 0.02) / 4 = 0.0529, tracks 10. The heater is 14.4
    ohm + 20 mohm at its plug, 15 mohm of tracks and 15 + 5 of its switch, the fan 80 ohm and its
    own: 14.46 beside 80.1 are 12.25 ohm. 24 V / (12.25 + 0.0629 + 0.2216) = 1.915 A: 191 % of the
    contact; five wires warm each other: 1.4 x 0.8 = 1.12 A, 171 %; the track 0.26 mm, 1 oz
    inside: 14.1 square mil, 0.024 x 40^0.44 x 14.1^0.725 = 0.83 A, 231 %.

    Over its converter's ground the sensor sees 1.915 x 0.2216 = 0.424 V and 2 x 5 mohm more."""
    assembly, found = rail(ONE_GROUND)
    solution = on(assembly)
    assert abs(solution.current_a(("conductor", 0, (9, 9)))) == pytest.approx(1.915, abs=0.005)
    over = found["power-over-switch"]
    assert over.severity is Severity.DANGER
    for what in ("contact 9 of main.link may carry 1.0 A", "the GND wire of 28 AWG may carry 1.1 A",
                 "the track of GND may carry 0.8 A"):  # fmt: skip
        assert what in over.message
    lifted = found["ground-lifted"]
    assert lifted.severity is Severity.DANGER
    assert "the hot-end heater and the part fan, which lifts it by 0.42 V" in lifted.message
    # 104GT at 240 C is about 200 ohm: 3.3 x 0.041 + 0.42 x 0.96 = 0.54 V, which 920 ohm give
    assert "reads 166 C at a true 240 C and heats on" in lifted.message


def test_four_grounds_and_a_gate(rail):
    """The gate's 3.3 V on its resistor of 10 kohm are no load: 0.33 mA, less what the ground lifts
    by: 1.93 A x (0.2116 / 4 + 0.01) ohm = 0.12 V of 3.3."""
    assembly, found = rail(FOUR_GROUNDS)
    gate = on(assembly).current_a(("conductor", 0, (3, 3)))
    assert abs(gate) == pytest.approx(3.18 / 10_025, rel=0.01)
    assert all("contact 3 " not in it.message for it in found.values())


def test_a_light_strip_for_5_v_on_24_v(rail):
    strip = 'strip = { role = "aux.output", at = "main.strip", part = "strip-5v" }'
    _, found = rail(FOUR_GROUNDS, more=strip)
    assert "made for 4.5 to 5.5 V and gets 24 V: it is destroyed" in (
        found["probe-servo-supply"].message
    )


def test_a_pull_up_to_24_v_on_a_converter_pin(rail):
    """(24 - 3.3 - 0.6) V / (4700 + 10) ohm = 4.27 mA."""
    _, found = rail(FOUR_GROUNDS, main=MAIN.replace("to_v = 3.3", "to_v = 24"))
    assert "4.3 mA flow into PC5" in found["converter-pin-overdriven"].message
    assert not found["sensor-pullup-differs"].changes


@pytest.mark.parametrize("step", [1, 2, -2])
def test_a_shifted_plug_is_solved(rail, step):
    """Each pin one position or one row farther: no pair of pins breaks the check."""
    size = len(FOUR_GROUNDS)
    pairs = [[n, n + step] for n in range(1, size + 1) if 1 <= n + step <= size]
    assembly, found = rail(FOUR_GROUNDS, wiring=f"wiring = {pairs}")
    assert found
    assert not on(assembly).floating & set(circuit(assembly).network.stars)


def test_the_leads_of_a_platinum_sensor(rail):
    """Two wires of 3 m 30 AWG 2 x 1.0155 ohm with their contacts 0.020; the ribbon's wire 0.2116
    out and a fourth of it back; tracks 3 x 5 mohm out and back: 2.35 ohm, of 3.68 ohm/K at 200 C.
    """
    thermistor = 'part = "ntc-100k-104gt-2"'
    platinum = 'part = "pt1000", wire = { awg = 30, length_m = 3.0 }'
    rail(
        FOUR_GROUNDS,
        machine=ASSEMBLY.replace(thermistor, platinum),
        config=CONFIG.replace("ATC Semitec 104GT-2", "PT1000"),
    )
    text = " ".join(" ".join(figures.lines(rail.result, "hotend.sensor")).split())
    assert "its leads 2.35 ohm: reads 0.6 K too high at 200 C" in text


LEAD = 'wiring = "straight"\nwire = { awg = 18, length_m = 0.8 }'
WHOLE = '[[cables]]\nfrom = "main.tool_power"\nto = "tool.power"\n' + LEAD


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        (LEAD, "wiring = [[1, 1], [2, 2]]", "Curlew 1 has no way to ground: nothing on it works."),
        (LEAD, "wiring = [[3, 3], [4, 4]]", "Curlew 1 gets no 24 V: nothing on it works."),
        (WHOLE, "", ""),
    ],
)
def test_a_smart_board_without_its_lead_does_not_agree(rewired, old, new, says):
    assembly = rewired(("marsh-230-curlew.toml", old, new), assembly="marsh-230-curlew.toml")
    machine = api.load_configuration(api.demo("clean/section-curlew"))
    result = api.check(machine, assembly)
    found = {it.message for it in result.findings if it.rule == "board-not-fed"}
    assert found == ({says} if says else set())
    (pin,) = (it for it in result.verdicts if (it.role, it.attribute) == ("hotend.heater", "pin"))
    if not says:
        assert pin.state == "not checked"
        assert pin.reason.startswith("no cable brings a supply to Curlew 1, and it is not listed")


RELAY = """
[board]
name = "Relay"
mains = true
[nets]
NEUTRAL = { supply_v = 0.0 }
PLUS = {}
MINUS = {}
LOAD = { driven_by = "MINUS", switch = { side = "high", max_a = 25.0 }, supply_v = 230.0 }
[connectors]
input = { pins = ["PLUS", "MINUS"], contact_a = 1.0 }
load = { pins = ["LOAD", "NEUTRAL"], contact_a = 20.0 }
"""


def test_the_control_wire_of_a_relay_carries_no_mains(tmp_path):
    """230 V on 88.2 ohm are 2.6 A of the load; its input takes 24 V / 1500 ohm = 16 mA."""
    main = '[board]\nname = "Ruff"\nchip = "stm32f401rct6"\nsupply_v = 24\n[nets]\n'
    main += 'HB = { chip_pin = "PC8", switch = { side = "low", max_a = 10.0 } }\n'
    main += '[connectors]\nhb = { pins = ["24V", "HB"], contact_a = 1.0 }\n'
    machine = '[assembly]\nname = "Ruff"\n[boards]\nmain = "main.toml"\nrelay = "relay.toml"\n'
    machine += (
        '[[cables]]\nfrom = "main.hb"\nto = "relay.input"\nwire = { awg = 22, length_m = 1 }\n'
    )
    machine += '[fit]\nb = { role = "bed.heater", at = "relay.load", part = "bed-230v-600w" }\n'
    for name, text in (("main.toml", main), ("relay.toml", RELAY), ("a.toml", machine)):
        (tmp_path / name).write_text(text)
    made = circuit(api.load_wiring(tmp_path / "a.toml"))
    found = made.solve(states.loads(made.network, ("switch", "relay", "LOAD")))
    assert found.current_a(("part", "b")) == pytest.approx(2.6, abs=0.02)
    assert 1000 * abs(found.current_a(("conductor", 0, (2, 2)))) == pytest.approx(16, abs=0.2)
