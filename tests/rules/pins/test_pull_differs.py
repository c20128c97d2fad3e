"""`pull-differs`."""


def test_a_switch_without_any_pull_floats(machine, ask):
    found = ask("pull-differs", machine({("x.endstop", "pull"): "none"})).finding
    assert found.message == (
        "Nothing pulls the x endstop's line up while its part lets go of it: the level floats, and "
        "it triggers at random or never."
    )
    assert [(c.attribute, c.value) for c in found.changes] == [("pull", "up")]


def test_a_pull_the_wrong_way(machine, ask):
    found = ask("pull-differs", machine({("x.endstop", "pull"): "down"})).finding
    assert "pulls the x endstop's line down, its part needs it pulled up" in found.message


def test_near_miss_a_resistor_on_the_board_is_enough(machine, ask):
    stop = 'chip_pin = "PC0"'
    wiring = (("boards/heron-2.toml", stop, stop + "\npullup = { ohm = 4700, to_v = 3.3 }"),)
    asked = ask("pull-differs", machine({("x.endstop", "pull"): "none"}, wiring=wiring))
    assert not asked.findings
    assert ("x.endstop", "pull") in asked.agreed
