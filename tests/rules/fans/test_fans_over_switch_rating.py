"""`fans-over-switch-rating`."""

FAN2 = 'chip_pin = "PB8"\nswitch = { side = "low", max_a = 1.0'


def rated(ampere):
    return (("boards/heron-2.toml", FAN2, FAN2.replace("1.0", ampere)),)


def test_two_sockets_on_one_switch_add_up(machine, ask):
    """0.3 A + 0.3 A = 0.60 A on a switch of 0.5 A; each starts with twice: 1.20 A."""
    found = ask("fans-over-switch-rating", machine(wiring=rated("0.5"))).finding
    assert found.message == (
        "The part fan and the second part fan draw 0.60 A through one switch rated 0.50 A (1.20 A "
        "at the start): it overheats and fails, open or shorted."
    )
    assert found.roles == ("part.fan", "part1.fan")
    assert [round(number.value, 2) for number in found.numbers] == [0.6, 1.2]


def test_near_miss_exactly_the_rating(machine, ask):
    asked = ask("fans-over-switch-rating", machine(wiring=rated("0.6")))
    assert not asked.findings
    assert ("part1.fan", "current_a") in asked.agreed


def test_a_switch_without_rating_is_not_checked(machine, ask):
    wiring = (("boards/heron-2.toml", FAN2, 'chip_pin = "PB8"\nswitch = { side = "low"'),)
    asked = ask("fans-over-switch-rating", machine(wiring=wiring))
    assert asked.unchecked["part.fan", "current_a"] == "the wiring gives no rating of the switch"


def test_quiet_on_the_clean_machine(machine, ask):
    assert not ask("fans-over-switch-rating", machine()).findings
