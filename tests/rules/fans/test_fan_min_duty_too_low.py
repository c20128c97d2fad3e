"""`fan-min-duty-too-low`."""

RULE = "fan-min-duty-too-low"


def test_a_lowest_duty_below_what_the_fan_needs(machine, ask):
    """The fitted fans need 0.2; 0.2 - 0.05 = 0.15 is missing."""
    found = ask(RULE, machine({("part.fan", "min_duty"): 0.05})).finding
    assert found.message == (
        "The part fan needs 20% to start and the firmware lets it go down to 5%: it stands still "
        "while it is shown as running."
    )
    assert round(found.numbers[0].value, 2) == 0.15
    assert found.changes[0].value == 0.2


def test_near_miss_a_kick_at_full_power_starts_it(machine, ask):
    case = machine({("part.fan", "min_duty"): 0.05, ("part.fan", "kick_start_s"): 0.1})
    asked = ask(RULE, case)
    assert not asked.findings
    assert ("part.fan", "min_duty") in asked.agreed


def test_quiet_without_a_claim_or_with_none_at_all(machine, ask):
    assert not ask(RULE, machine()).outcomes
    assert not ask(RULE, machine({("part.fan", "min_duty"): 0.0})).outcomes
