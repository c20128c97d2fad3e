"""What a meter shows, against sums worked by hand and a dense solution."""

import math

import numpy as np
import pytest

from pincheck import api
from pincheck.analysis.meter import LEADS_OHM, Meter
from pincheck.analysis.without_power import unpowered
from pincheck.circuit import Node, circuit

PLUG = ("main", "toolhead")
HEATER = ((*PLUG, 1), (*PLUG, 3))


@pytest.fixture(scope="module")
def meter():
    return Meter(api.load_wiring(api.demo("marsh-230-c.toml")), 25.0)


def by_kind(faults):
    return {(it.kind, it.what): it for it in faults}


def test_ends_are_those_of_a_dense_solution(meter):
    """All resistances low, likely and high: one ampere in at one pin and out at the other."""
    network = circuit(meter.assembly).network
    shown = meter.ohm(*HEATER, [PLUG])
    ends = unpowered(network, meter.assembly.fits, 25.0, [PLUG], pressed=False)
    for solution, ohm in zip(ends, (shown.low, shown.nominal, shown.high - LEADS_OHM), strict=True):
        nodes = [Node("plug", "main", pin, "toolhead") for pin in ("1", "3")]
        nodes += [node for node in solution.circuit.network.nodes if node not in nodes]
        matrix = np.zeros((len(nodes), len(nodes)))
        for key, g in solution.live.items():
            it = solution.circuit.network.elements[key]
            for one, two in ((it.one, it.two), (it.two, it.one)):
                matrix[nodes.index(one), nodes.index(one)] += g
                matrix[nodes.index(one), nodes.index(two)] -= g
        matrix += np.eye(len(nodes)) * 1e-12  # what nothing holds
        into = np.zeros(len(nodes) - 1)
        into[0] = 1.0
        keep = [n for n in range(len(nodes)) if n != 1]
        assert ohm == pytest.approx(np.linalg.solve(matrix[np.ix_(keep, keep)], into)[0], rel=1e-6)


def test_an_open_wire_and_a_missing_heater_read_alike_and_a_short_reads_the_wires(meter):
    """Out and back: 0.6 m of 26 AWG, 0.0803 ohm, and 0.15 m of 20 AWG, 0.0050, with two contacts
    and a track of 10 mohm each: twice 0.1153 ohm."""
    faults = by_kind(meter.ohm_faults(*HEATER, [PLUG]))
    for it in (
        ("missing", "hotend_heater"),
        ("open", "the 26 AWG wire from pin 1 of main.toolhead"),
    ):
        assert faults[it].reading.low == math.inf
        assert not faults[it].hidden
    short = faults["short", "hotend_heater"]
    assert short.reading.nominal == pytest.approx(0.2307, abs=0.001)
    assert not short.hidden


def test_one_of_several_wires_open_shows_where_the_plug_is_in(meter):
    """From the board's pins four wires lead to 24 V; without one of them three still do."""
    at = (("main", "tool_power", 1), ("tool", "heater", 1))
    assert len(meter.assembly.cables) == 1
    faults = meter.ohm_faults(*at)
    opens = [it for it in faults if it.kind == "open"]
    assert len(opens) == 4
    assert all(it.hidden for it in opens)


def test_electronics_may_show_anything_but_a_short(meter):
    fan = [("tool", "hotend_fan", pin) for pin in (1, 2)]
    shown = meter.ohm(*fan, [("tool", "hotend_fan")])
    assert (shown.low, shown.high) == (pytest.approx(240), math.inf)  # 24 V / 0.1 A
    faults = meter.ohm_faults(*fan, [("tool", "hotend_fan")])
    assert [it.kind for it in faults if not it.hidden] == ["short"]


def test_a_pulled_plug_says_nothing_of_another(meter):
    assert meter.ohm((*PLUG, 1), ("main", "bed", 1), [PLUG]).nominal == math.inf
    assert meter.ohm((*PLUG, 99), (*PLUG, 1), [PLUG]).low == math.inf


def test_a_contact_pressed_and_not(meter):
    stop = [("main", "stop_x", pin) for pin in (1, 2)]
    untouched, hit = (
        meter.ohm(*stop, [("main", "stop_x")], pressed=pressed) for pressed in (False, True)
    )
    assert (untouched.high, hit.low) == (pytest.approx(2.5), math.inf)


def test_the_ambient_changes_what_a_thermistor_shows(meter):
    """Beta 3950, 15 C: 100 k x exp(3950 (1/288.15 - 1/298.15)) = 158.4 kohm."""
    pins = [("main", "bed_sensor", pin) for pin in (1, 2)]
    cold = Meter(meter.assembly, 15.0).ohm(*pins, [("main", "bed_sensor")])
    assert cold.nominal == pytest.approx(158_400, rel=0.03)
    assert cold.low < 158_400 < cold.high


def test_volts_of_a_load_on_and_off(meter):
    """On, the fan has 24 V less what 0.1 A drops: 5 % either way and some tens of millivolts."""
    fan = [("tool", "hotend_fan", pin) for pin in (1, 2)]
    off, on = meter.volts(*fan), meter.volts(*fan, on=[("main", "FAN0")])
    assert (off.low, off.high) == (0.0, 0.0)
    assert on.nominal == pytest.approx(23.98, abs=0.02)
    assert (on.low, on.high) == pytest.approx((22.8, 25.2), abs=0.05)
    # Over the board's ground the switched pin has what fan and 24 V leave, or all of it.
    assert meter.volts(("tool", "hotend_fan", 2)).nominal == pytest.approx(24.0, abs=0.1)


def test_volts_do_not_tell_whether_a_heater_is_there_and_an_open_sensor_hardly(meter):
    heater = [("tool", "heater", pin) for pin in (1, 2)]
    faults = by_kind(meter.volts_faults(*heater, on=[("main", "HEAT0")]))
    assert faults["missing", "hotend_heater"].hidden
    assert not any(kind == "short" for kind, _ in faults)  # the supply switches off
    sensor = [("tool", "thermistor", pin) for pin in (1, 2)]
    faults = by_kind(meter.volts_faults(*sensor))
    assert faults["missing", "hotend_sensor"].reading.nominal == pytest.approx(3.3, abs=0.01)
    assert faults["missing", "hotend_sensor"].hidden
    assert not faults["short", "hotend_sensor"].hidden
    assert faults["short", "hotend_sensor"].reading.high < 0.001
    assert faults["open", "the 26 AWG wire from pin 16 of main.toolhead"].reading.high == 0.0


def test_a_circuit_too_large_has_no_readings(meter, monkeypatch):
    monkeypatch.setattr("pincheck.model.limits.CIRCUIT_WORK", 10)
    assert meter.ohm(*HEATER) is None
    assert meter.volts_faults(*HEATER) == ()
