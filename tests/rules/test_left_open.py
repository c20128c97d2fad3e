"""What the files leave open is no clean end, whatever the rest of them agrees on."""


def open_spots(result):
    return {(v.role, v.attribute): v.reason for v in result.unjudged}


def test_a_forks_header_that_was_not_sent(demo):
    """It may undo a line of the main header, or decide which branches count."""
    result = demo("define", ("machine.h", "#pragma once", '#include "fork.h"'))
    assert not result.findings
    reason = open_spots(result)["hotend.heater", "max_c"]
    assert reason == "agrees so far; fork.h was not sent and could override it"


def test_an_include_that_is_misspelt_names_the_file_that_is_there(demo):
    result = demo("section", ("machine.cfg", "[include toolhead.cfg]", "[include tolhead.cfg]"))
    assert "was not sent (is toolhead.cfg meant?)" in open_spots(result)["hotend.heater", "pin"]


def test_a_second_pin_that_a_fan_needs(demo):
    own = "fan_speed: 1.0"
    result = demo("section", ("toolhead.cfg", own, f"{own}\nenable_pin: PC9"))
    assert "enable_pin at toolhead.cfg:46 has to be on" in open_spots(result)["hotend.fan", "pin"]


def test_a_correction_of_what_the_converter_reads(scripts):
    """Near miss: none, as it is written by who keeps the letters."""
    result = scripts(('A"Hot end"\n', 'H20 A"Hot end"\n'))
    assert "H20 at toolhead.g:4 corrects" in open_spots(result)["hotend.sensor", "table"]
    assert not scripts(('A"Hot end"\n', 'L0 H0 A"Hot end"\n')).unjudged
