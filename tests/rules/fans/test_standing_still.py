"""A hot-end fan that does not turn, whatever the reason: a danger over a liner, else a fault."""

import pytest

from pincheck.model.finding import Severity

ROLE = "hotend.fan"
ALL_METAL = (
    ("marsh-230-c.toml", '[limits.hotend]\nmax_c = 260\nbecause = "liner"\n', ""),
    ("marsh-230-c.toml", '"block-marsh"', '"block-all-metal"'),
)
CUT = ("boards/lapwing-c.toml", '"FAN_HOTEND", "",            #  7  8', '"", "",  #  7  8')
UNFED = ("boards/lapwing-c.toml", 'pins = ["24V", "FAN_HOTEND"]', 'pins = ["", "FAN_HOTEND"]')
WEAK = ("boards/lapwing-c.toml", 'pins = ["24V", "FAN_HOTEND"]', 'pins = ["5V", "FAN_HOTEND"]')


@pytest.mark.parametrize(
    ("rule", "changed", "wiring"),
    [
        ("pin-differs", {(ROLE, "pin"): "PB7"}, ()),
        ("polarity-inverted", {(ROLE, "inverted"): True}, ()),
        ("fan-min-duty-too-low", {(ROLE, "on_power"): 0.1}, ()),
        ("no-chip-pin", {}, (CUT,)),
        ("supply-missing", {}, (UNFED,)),
        ("fan-voltage-differs", {}, (WEAK,)),
    ],
)
def test_one_cause_is_told_once_and_by_what_it_cooks(machine, ask, pin, rule, changed, wiring):
    changed = {spot: pin(v) if isinstance(v, str) else v for spot, v in changed.items()}
    lined = ask(rule, machine(changed, wiring=wiring)).finding
    assert lined.severity is Severity.DANGER
    bare = ask(rule, machine(changed, wiring=(*ALL_METAL, *wiring))).finding
    assert bare.severity is Severity.FAULT
