"""`polarity-inverted`."""

from pincheck.model.finding import Severity


def test_an_inverted_heater_is_on_while_it_is_told_to_be_off(machine, ask):
    found = ask("polarity-inverted", machine({("hotend.heater", "inverted"): True})).finding
    assert found.severity is Severity.DANGER
    assert "heats at full power as soon as the firmware runs" in found.message
    assert [(c.attribute, c.value) for c in found.changes] == [("inverted", False)]


def test_an_inverted_end_stop_is_a_fault(machine, ask):
    found = ask("polarity-inverted", machine({("x.endstop", "inverted"): True})).finding
    assert found.severity is Severity.FAULT
    assert "triggered while its pin is high" in found.message


def test_near_miss_a_switch_that_inverts_needs_an_inverted_pin(machine, ask):
    """The fan's switch is made an inverting one: then `inverted` is right and its lack wrong."""
    fan = 'chip_pin = "PB6"\nswitch = { side = "low",'
    wiring = (("boards/heron-2.toml", fan, fan + " inverting = true,"),)
    right = machine({("hotend.fan", "inverted"): True}, wiring=wiring)
    assert ("hotend.fan", "inverted") in ask("polarity-inverted", right).agreed
    wrong = ask("polarity-inverted", machine(wiring=())).findings
    assert not wrong


def test_an_uninverted_claim_on_an_inverting_switch_fires(machine, ask):
    fan = 'chip_pin = "PB6"\nswitch = { side = "low",'
    wiring = (("boards/heron-2.toml", fan, fan + " inverting = true,"),)
    assert ask("polarity-inverted", machine(wiring=wiring)).finding.role == "hotend.fan"


def test_every_switch_on_the_way_counts(machine, ask):
    """The bed's mat behind a relay on a breakout of its own, driven by the board's switch."""
    relay = (
        "boards/heron-2.toml",
        '[nets.HEATB]\nchip_pin = "PA8"\nswitch = { side = "low", ',
        '[nets.HEATB]\ndriven_by = "COIL"\nswitch = { side = "low", max_a = 15, %s }\n'
        '[nets.COIL]\nchip_pin = "PA8"\nswitch = { side = "low", %s ',
    )
    turns = "inverting = true"
    for first, second, wrong in (
        (turns + ",", "rds_on_mohm = 3", True),
        ("", turns, True),
        (turns + ",", turns, False),
    ):
        wiring = ((*relay[:2], relay[2] % (second, first)),)
        answers = ask("polarity-inverted", machine(wiring=wiring))
        assert [f.role for f in answers.findings] == ["bed.heater"] * wrong
        assert wrong or ("bed.heater", "inverted") in answers.agreed


def test_a_servo_whose_pulses_are_turned_over_does_not_move(machine, ask):
    found = ask("polarity-inverted", machine({("probe.servo", "inverted"): True})).finding
    assert found.severity is Severity.FAULT
    assert [(c.attribute, c.value) for c in found.changes] == [("inverted", False)]


def test_step_pulses_that_are_turned_over_are_advice(machine, ask):
    found = ask("polarity-inverted", machine({("x.motor", "inverted"): True})).finding
    assert found.severity is Severity.ADVICE


def test_near_miss_pulses_as_they_are_say_nothing(machine, ask):
    spots = {("x.motor", "inverted"): False, ("probe.servo", "inverted"): False}
    assert not ask("polarity-inverted", machine(spots)).findings
