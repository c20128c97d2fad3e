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


def test_a_pull_that_the_pin_does_not_have(machine, ask):
    heron, stop = "boards/heron-2.toml", '[nets.XSTOP]\nchip_pin = "PC0"'
    chip = (heron, 'chip = "stm32f401rct6"', 'chip = "esp32"')
    bare = (chip, (heron, stop, stop.replace("PC0", "gpio34")))
    found = ask("pull-differs", machine(wiring=bare)).finding
    assert found.message == (
        "gpio34 has no pull of its own, and nothing else pulls the x endstop's line up: the level "
        "floats, and it triggers at random or never."
    )
    assert not found.changes
    resistor = "\npullup = { ohm = 4700, to_v = 3.3 }"
    held = (chip, (heron, stop, stop.replace("PC0", "gpio34") + resistor))
    assert ("x.endstop", "pull") in ask("pull-differs", machine(wiring=held)).agreed
