"""`pin-reached-by-two`."""

from pincheck.model.finding import Severity

RULE = "pin-reached-by-two"
WRONG = (
    ("boards/heron-2.toml", '[nets.FIL0]\nchip_pin = "PC3"', '[nets.FIL0]\ndriven_by = "YSTOP"'),
)
NEAR = ()


def test_two_switches_on_one_pin(machine, ask):
    found = ask(RULE, machine(wiring=WRONG)).finding
    assert found.severity is Severity.FAULT
    assert "PC1 of Heron 2" in found.message
    assert "the y endstop" in found.message
    assert "the filament sensor" in found.message
    assert found.advice


def test_near_miss_two_fans_of_a_kind_on_one_switch_are_meant_so(machine, ask):
    assert not ask(RULE, machine(wiring=NEAR)).findings


def test_quiet_on_the_clean_machine(machine, ask):
    assert not ask(RULE, machine()).outcomes
