"""`protection-off`."""

from pincheck.model.finding import Severity


def test_a_heater_that_nothing_watches(machine, ask):
    found = ask("protection-off", machine({("hotend.heater", "protection"): False})).finding
    assert found.severity is Severity.DANGER
    # 25 + 24^2 / 14.4 / 0.12 = 358.3 C
    assert found.message == (
        "Nothing watches the 40 W hot-end heater: if its sensor falls out or its heater comes "
        "loose, the firmware heats on at full power; without its sensor the block settles at 358 C."
    )
    assert [round(n.value, 1) for n in found.numbers] == [358.3]
    assert [(c.attribute, c.value, c.weakens) for c in found.changes] == [("protection", True, "")]


def test_without_figures_of_the_block_no_temperature_is_guessed(machine, ask):
    block = '[fit.hotend_block]\nrole = "hotend.block"\npart = "block-marsh"\n'
    off = {("hotend.heater", "protection"): False}
    found = ask("protection-off", machine(off, wiring=(("marsh-230-c.toml", block, ""),))).finding
    assert found.message.endswith("heats on at full power until something burns.")
    assert not found.numbers


def test_near_miss_saying_nothing_is_not_saying_off(machine, ask):
    asked = ask("protection-off", machine({("hotend.heater", "protection"): None}))
    assert not asked.findings
    assert ("hotend.heater", "protection") in asked.unchecked
    assert ("bed.heater", "protection") in asked.agreed
