"""`return-driven`."""

import pytest

from pincheck.model.finding import Severity

RULE = "return-driven"
SOCKET = ("boards/lapwing-c.toml", 'pins = ["TH", "AGND"]')


@pytest.mark.parametrize("pins", ['["TH", "FAN_HOTEND"]', '["FAN_HOTEND", "TH"]'])
def test_a_thermistor_against_a_fans_switch(machine, ask, pins):
    found = ask(RULE, machine(wiring=((*SOCKET, f"pins = {pins}"),))).finding
    assert found.severity is Severity.DANGER
    assert "FAN_HOTEND of Lapwing C, which a switch drives" in found.message


def test_an_end_stop_against_another_pin_of_the_chip(machine, ask):
    wiring = (("boards/heron-2.toml", '["XSTOP", "GND", "5V"]', '["XSTOP", "YSTOP", "5V"]'),)
    assert "which the chip" in ask(RULE, machine(wiring=wiring)).finding.message


def test_near_miss_either_ground_and_either_way_round(machine, ask):
    for pins in ('["AGND", "TH"]', '["TH", "GND"]'):
        assert not ask(RULE, machine(wiring=((*SOCKET, f"pins = {pins}"),))).findings
