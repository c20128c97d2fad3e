"""`heater-limit-too-high`."""

import pytest

from pincheck.model.claim import Claim, Doubt
from pincheck.model.finding import Severity

RULE = "heater-limit-too-high"


def test_a_limit_above_the_liner(machine, ask):
    """300 - 15 = 285 C can be set; the liner stands 260 C; 285 - 260 = 25 K too much.

    The change keeps the firmware's margin, and 5 K of its own: 260 - 5 + 15 = 270.
    """
    found = ask(RULE, machine({("hotend.heater", "max_c"): 300.0})).finding
    assert found.severity is Severity.DANGER
    assert found.message == (
        "Firmware lets the hot-end heater go to 285 C, 25 K more than the liner stands (260 C): it "
        "softens, sheds harmful fumes and blocks the filament."
    )
    assert found.numbers[0].value == 285.0
    assert [(c.value, c.weakens) for c in found.changes] == [(270.0, "")]


def test_without_margin_the_limit_itself_counts(machine, ask):
    case = machine({("hotend.heater", "overshoot_c"): None})
    assert "go to 270 C, 10 K more" in ask(RULE, case).finding.message


def test_near_miss_exactly_what_the_liner_stands(machine, ask):
    asked = ask(RULE, machine({("hotend.heater", "max_c"): 275.0}))
    assert not asked.findings
    assert ("hotend.heater", "max_c") in asked.agreed


UNSTATED = (
    ("marsh-230-c.toml", '[limits.hotend]\nmax_c = 260\nbecause = "liner"\n', ""),
    ("marsh-230-c.toml", '"block-marsh"', '"block-lined"'),
)


@pytest.mark.parametrize(("settable_c", "state"), [(240, "agrees"), (241, "open"), (260, "open")])
def test_a_liner_that_nobody_states_stands_240_to_260(machine, ask, settable_c, state):
    changed = {("hotend.heater", "max_c"): settable_c + 15.0}
    asked = ask(RULE, machine(changed, wiring=UNSTATED))
    assert not asked.findings
    if state == "agrees":
        assert ("hotend.heater", "max_c") in asked.agreed
    else:
        assert asked.unchecked["hotend.heater", "max_c"] == (
            f"whether {settable_c} C is too much depends on the liner, which stands 240 to 260 C: "
            f"state what yours stands as max_c of [limits.hotend]"
        )


def test_above_all_that_its_kind_stands_it_is_too_much(machine, ask):
    found = ask(RULE, machine({("hotend.heater", "max_c"): 276.0}, wiring=UNSTATED)).finding
    assert "to 261 C, 1 K more than the liner stands (260 C)" in found.message
    # the change is one that holds for the least of its kind: 240 - 5 + 15
    assert [change.value for change in found.changes] == [250.0]
    assert found.advice.startswith("What it may be depends on the liner, which stands 240 to 260")


def test_what_the_wiring_states_settles_which_liner_it_is(machine, ask):
    """250 C as stated, of a part that stands 240 to 260: 251 C is 1 K too much."""
    wiring = (("marsh-230-c.toml", "max_c = 260", "max_c = 250"), UNSTATED[1])
    found = ask(RULE, machine({("hotend.heater", "max_c"): 266.0}, wiring=wiring)).finding
    assert "to 251 C, 1 K more than the liner stands (250 C)" in found.message
    near = ask(RULE, machine({("hotend.heater", "max_c"): 265.0}, wiring=wiring))
    assert ("hotend.heater", "max_c") in near.agreed


def test_a_sensor_may_be_the_weakest(machine, ask):
    """With an all-metal throat (300 C) and no stated limit, the 280 C bead gives way first."""
    wiring = (
        ("marsh-230-c.toml", '[limits.hotend]\nmax_c = 260\nbecause = "liner"\n', ""),
        ("marsh-230-c.toml", '"block-marsh"', '"block-all-metal"'),
        ("marsh-230-c.toml", '"ntc-100k-104gt-2"', '"ntc-100k-b3950"'),
    )
    found = ask(RULE, machine({("hotend.heater", "max_c"): 310.0}, wiring=wiring)).finding
    assert "295 C, 15 K more than the thermistor stands (280 C)" in found.message


def test_a_margin_in_doubt_is_no_basis(machine, ask):
    unsure = Claim("hotend.heater", "overshoot_c", 15.0, unknown="it depends on the file x")
    case = machine({("hotend.heater", "max_c"): 300.0, ("hotend.heater", "overshoot_c"): unsure})
    asked = ask(RULE, case)
    assert not asked.findings
    assert asked.unchecked["hotend.heater", "max_c"] == "it depends on the file x"


def test_no_limit_in_the_files_is_not_checked(machine, ask):
    case = machine({("bed.heater", "max_c"): None}, doubts=(Doubt("bed.cfg was not sent"),))
    assert ask(RULE, case).unchecked["bed.heater", "max_c"] == "bed.cfg was not sent"
