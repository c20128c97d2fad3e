"""`line-astray`."""

import pytest

from pincheck import api
from pincheck.model.finding import Severity
from pincheck.rules.copper.line_astray import _serial

RULE = "line-astray"
FILES = {
    "main.toml": '[board]\nname = "Ruff"\nchip = "stm32f401rct6"\nsupply_v = 24\n[nets]\n'
    'HB = { chip_pin = "PC8", switch = { side = "low", max_a = 10.0 } }\n'
    '[connectors]\nhb = { pins = ["24V", "HB"], contact_a = 1.0 }\n',
    "relay.toml": '[board]\nname = "Relay"\nmains = true\n[nets]\n'
    'NEUTRAL = { supply_v = 0.0 }\nPLUS = { line = "plus" }\nMINUS = { line = "minus" }\n'
    'LOAD = { driven_by = "MINUS", switch = { side = "high" }, supply_v = 230.0 }\n'
    '[connectors]\ninput = { pins = ["PLUS", "MINUS"] }\nload = { pins = ["LOAD", "NEUTRAL"] }\n',
    "config/printer.cfg": "[heater_bed]\nheater_pin: PC8\n",
}
MACHINE = """
[assembly]
name = "Ruff"
[boards]
main = "main.toml"
relay = "relay.toml"
[[cables]]
from = "main.hb"
to = "relay.input"
wiring = %s
[fit]
b = { role = "bed.heater", at = "relay.load", part = "bed-230v-600w" }
"""
STRAIGHT = 'wiring = "straight"\n\n[fit.spare_fan]'


def serial(one="RXD", other="TXD", *more):
    return tuple(it for it in (*_serial(one, other), *more) if it[0].endswith(".toml"))


def lead(pairs):
    """Return the machine whose lead has these wires only."""
    new = f"wiring = {pairs}\n\n[fit.spare_fan]"
    return tuple((file, was, now.replace(STRAIGHT, new)) for file, was, now in serial())


def test_crossed(machine, ask):
    found = ask(RULE, machine(wiring=serial("TXD", "RXD"))).findings
    assert {it.message.split(":")[0] for it in found} == {
        "TXD of Curlew 1 (tx) meets TXD of Heron 2 (tx), not rx",
        "RXD of Curlew 1 (rx) meets RXD of Heron 2 (rx), not tx",
    }
    assert {it.severity for it in found} == {Severity.FAULT}


def test_a_missing_wire(machine, ask):
    found = ask(RULE, machine(wiring=lead("[[1, 1], [3, 3], [4, 4]]"))).finding
    assert found.message.startswith("TXD of Curlew 1 (tx) reaches no other board: nothing arrives")
    assert found.roles == ("aux.fan",)


def test_a_supply_on_it(machine, ask):
    found = ask(RULE, machine(wiring=lead("[[1, 2], [3, 3], [4, 4]]"))).finding
    assert found.severity is Severity.DANGER
    assert "TXD of Curlew 1 (tx) is on 24V of Heron 2" in found.message


def test_a_pin_that_nothing_is_said_of_is_never_green(machine, ask):
    quiet = ("boards/heron-2.toml", 'chip_pin = "PA9"\nline = "tx"', 'chip_pin = "PA9"')
    named = tuple((file, was, now.replace(quiet[1], quiet[2])) for file, was, now in serial())
    asked = ask(RULE, machine(wiring=named))
    assert not asked.findings
    assert asked.unchecked == {
        ("aux.fan", "pin"): "nothing says whether TXD of Heron 2 is the tx that RXD of Curlew 1 "
        "(rx) has to meet"
    }


def test_quiet_where_each_meets_the_other(machine, ask):
    assert not ask(RULE, machine(wiring=serial())).outcomes


@pytest.mark.parametrize(
    ("pairs", "driven", "says"),
    [
        ("[[1, 1], [2, 2]]", "MINUS", ""),
        ("[[2, 2]]", "MINUS", "The relay of the bed heater gets 0.0 V at its input"),
        ("[[1, 2], [2, 1]]", "PLUS", "The relay of the bed heater has its input the wrong way"),
    ],
)
def test_the_input_of_a_relay(tmp_path, pairs, driven, says):
    """A low-side switch: 24 V on its plus, its minus to ground while the bed is on."""
    (tmp_path / "config").mkdir()
    for name, text in {**FILES, "a.toml": MACHINE % pairs}.items():
        (tmp_path / name).write_text(text.replace('driven_by = "MINUS"', f'driven_by = "{driven}"'))
    result = api.check(
        api.load_configuration(tmp_path / "config"), api.load_wiring(tmp_path / "a.toml")
    )
    found = {it.rule: it.message for it in result.findings}
    assert found.get(RULE, "").startswith(says)
    assert bool(says) is (RULE in found)
