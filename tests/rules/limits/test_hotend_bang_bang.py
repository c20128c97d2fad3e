"""`hotend-bang-bang`."""

import pytest

RULE = "hotend-bang-bang"
SPOT = "hotend.heater", "bang_bang"


def test_what_still_comes_at_the_target(machine, ask):
    """(40 W - 0.12 W/K x 185 K) / 12 J/K = 1.48 K/s over 3 s of lag and 1 s of dead time: 5.9 K."""
    found = ask(RULE, machine({SPOT: True})).finding
    assert found.message.endswith("off above it: it swings 6 K past 210 C each time.")
    assert found.numbers[0].value == pytest.approx(5.93, abs=0.005)
    assert [(change.value, change.weakens) for change in found.changes] == [(False, "")]


def test_of_a_block_that_nobody_measured_both_ends_are_told(machine, ask):
    """Heavy: (38.1 - 27.75) / 20 x 15 s = 7.8 K; light: (42.1 - 7.4) / 8 x 1.5 s = 6.5 K."""
    wiring = (("marsh-230-c.toml", '"block-marsh"', '"block-lined"'),)
    assert (
        "swings 7 to 8 K past 210 C"
        in ask(RULE, machine({SPOT: True}, wiring=wiring)).finding.message
    )


def test_a_bed_may_be_switched_so(machine, ask):
    asked = ask(RULE, machine({("bed.heater", "bang_bang"): True, SPOT: False}))
    assert not asked.findings
    assert asked.agreed == {SPOT}


@pytest.mark.parametrize(("letter", "found"), [(" B1", 1), (" B0", 0), ("", 0)])
def test_the_letter_of_a_script(scripts, letter, found):
    model = "M307 H1 R2.40 K0.36:0.12 D4.5 S1.00 V24.0"
    result = scripts((model, model + letter))
    assert len(result.findings) == found
