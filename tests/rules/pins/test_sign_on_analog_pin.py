"""`sign-on-analog-pin`."""

import pytest

from pincheck.model.claim import PinValue, Place
from pincheck.model.finding import Severity


def _written(text):
    return PinValue(text, Place("main", "PC5"))


@pytest.mark.parametrize("text", ["!PC5", "^PC5", "~PC5", "^!PC5"])
def test_a_measured_pin_takes_no_sign(machine, ask, text):
    case = machine({("hotend.sensor", "pin"): _written(text)}, style="section")
    found = ask("sign-on-analog-pin", case).finding
    assert found.severity is Severity.FAULT
    assert text in found.message
    assert found.changes == ()


def test_near_miss_a_filament_switch_has_a_level(machine, ask):
    value = PinValue("^!PC3", Place("main", "PC3"))
    case = machine({("filament.sensor", "pin"): value}, style="section")
    assert not ask("sign-on-analog-pin", case).findings


def test_near_miss_a_style_without_signs_has_names_with_any_mark(machine, ask):
    case = machine({("hotend.sensor", "pin"): _written("!PC5")}, style="define")
    assert not ask("sign-on-analog-pin", case).findings
