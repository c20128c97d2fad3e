"""`probe-pull-missing`."""

RULE = "probe-pull-missing"


def test_an_open_output_that_nothing_pulls(machine, ask):
    found = ask(RULE, machine({("probe.signal", "pull"): "none"})).finding
    assert found.message == (
        "Nothing pulls the probe signal's line up while its part lets go of it: the level floats, "
        "and the nozzle meets the bed before the probe is believed."
    )
    assert [(c.attribute, c.value) for c in found.changes] == [("pull", "up")]


def test_against_a_resistor_on_the_board_it_is_enough_to_pull_no_more(machine, ask):
    net = '[nets.PROBE]\nchip_pin = "PB1"'
    wiring = (("boards/heron-2.toml", net, net + "\npullup = { ohm = 4700, to_v = 3.3 }"),)
    found = ask(RULE, machine({("probe.signal", "pull"): "down"}, wiring=wiring)).finding
    assert (
        "The chip pulls the probe signal's line down, its part needs it pulled up" in found.message
    )
    assert [(c.attribute, c.value) for c in found.changes] == [("pull", "none")]


def test_near_miss_a_resistor_on_the_board(machine, ask):
    net = '[nets.PROBE]\nchip_pin = "PB1"'
    wiring = (("boards/heron-2.toml", net, net + "\npullup = { ohm = 4700, to_v = 3.3 }"),)
    case = machine({("probe.signal", "pull"): "none"}, wiring=wiring)
    assert ask(RULE, case).agreed == {("probe.signal", "pull")}


def test_near_miss_the_lower_resistor_of_a_divider_pulls_down(machine, ask):
    net = '[nets.PROBE]\nchip_pin = "PB1"'
    divider = net + "\ndivider = { top_ohm = 15000, bottom_ohm = 2200 }"
    part = 'part = "probe-servo-5v"'
    pnp = 'part = "probe-inductive-pnp"\npins = [2, 1, 5]'
    wiring = (("boards/heron-2.toml", net, divider), ("marsh-230-c.toml", part, pnp))
    case = machine({("probe.signal", "pull"): "none"}, wiring=wiring)
    assert not ask(RULE, case).findings
    floating = machine({("probe.signal", "pull"): "none"}, wiring=wiring[1:])
    assert "line down" in ask(RULE, floating).finding.message


def test_quiet_on_the_clean_machine(machine, ask):
    assert not ask(RULE, machine()).findings
