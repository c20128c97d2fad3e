"""`supply-on-signal`."""

from pincheck.model.finding import Severity

RULE = "supply-on-signal"
OPTICAL = (
    "marsh-230-c.toml",
    'at = "main.stop_x"\npart = "endstop-switch-nc"',
    'at = "main.stop_x"\npart = "endstop-optical-5v"',
)
TURNED = ("boards/heron-2.toml", '["XSTOP", "GND", "5V"]', '["5V", "GND", "XSTOP"]')


def test_a_signal_wire_on_a_rail(machine, ask):
    found = ask(RULE, machine(wiring=(OPTICAL, TURNED))).finding
    assert found.severity is Severity.DANGER
    assert found.message.startswith("The signal wire of the x endstop is on 5 V.")


def test_it_explains_why_no_chip_pin_is_reached(machine, ask):
    assert not ask("no-chip-pin", machine(wiring=(OPTICAL, TURNED))).findings


def test_near_miss_the_same_part_the_right_way_round(machine, ask):
    assert not ask(RULE, machine(wiring=(OPTICAL,))).findings
