"""`pin-missing-on-chip`."""

from attrs import evolve


def test_a_pin_that_the_package_does_not_bring_out(machine, ask, pin):
    """The 64-pin package of the chip has ports A to D and H only."""
    found = ask("pin-missing-on-chip", machine({("part.fan", "pin"): pin("PE8")})).finding
    assert found.message == (
        "stm32f401rct6 has no pin PE8 (it is wired to PB8): the part fan never turns (overhangs "
        "and bridges sag)."
    )
    assert found.changes[0].value.place.pin == "PB8"


def test_near_miss_a_pin_that_exists_and_is_only_wrong(machine, ask, pin):
    assert not ask("pin-missing-on-chip", machine({("part.fan", "pin"): pin("PC13")})).findings


def test_an_unknown_chip_proves_nothing(machine, ask, pin):
    case = evolve(machine({("part.fan", "pin"): pin("PE8")}), chip=lambda _: None)
    assert not ask("pin-missing-on-chip", case).findings
