"""`probe-pull-missing`."""

from attrs import evolve

from pincheck.model.finding import Severity

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
    assert found.severity is Severity.ADVICE
    assert found.message == (
        "The chip pulls the probe signal's line down, its part needs it pulled up: the board's "
        "resistor is stronger, but the level comes nearer to a wrong reading."
    )
    assert [(c.attribute, c.value) for c in found.changes] == [("pull", "none")]


def test_a_resistor_weaker_than_the_chips_own_does_not_hold_the_line(machine, ask):
    """100 k against 30 k: 100 / (100 + 30) = 0.77 of the supply is left across it, above 0.3."""
    net = '[nets.PROBE]\nchip_pin = "PB1"'
    wiring = (("boards/heron-2.toml", net, net + "\npullup = { ohm = 100000, to_v = 3.3 }"),)
    found = ask(RULE, machine({("probe.signal", "pull"): "down"}, wiring=wiring)).finding
    assert found.severity is Severity.FAULT
    assert "the level floats" in found.message


def test_near_miss_one_switch_pulls_every_line_and_a_divider_holds_this_one(machine, ask):
    """2.2 k to ground against 30 k: 2.2 / (2.2 + 30) = 0.07 of the supply, a certain low."""
    net = '[nets.PROBE]\nchip_pin = "PB1"'
    divider = net + "\ndivider = { top_ohm = 15000, bottom_ohm = 2200 }"
    pnp = 'part = "probe-inductive-pnp"\npins = [2, 1, 5]'
    wiring = (
        ("boards/heron-2.toml", net, divider),
        ("marsh-230-c.toml", 'part = "probe-servo-5v"', pnp),
    )
    own = machine(wiring=wiring)
    assert ask(RULE, own).finding.severity is Severity.ADVICE
    for_all = next(c for c in own.claims.of("x.endstop") if c.attribute == "pull")
    case = evolve(own, claims=evolve(own.claims, all=_with(own, for_all)))
    asked = ask(RULE, case)
    assert not asked.findings
    assert ("probe.signal", "pull") in asked.agreed


def _with(case, for_all):
    others = (c for c in case.claims.all if (c.role, c.attribute) != ("probe.signal", "pull"))
    return (*others, evolve(for_all, role="probe.signal"))


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
