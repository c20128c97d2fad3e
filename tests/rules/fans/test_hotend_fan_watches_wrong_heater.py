"""`hotend-fan-watches-wrong-heater`."""

from pincheck.model.claim import Claim

RULE = "hotend-fan-watches-wrong-heater"


def test_a_fan_that_follows_the_bed(machine, ask):
    found = ask(RULE, machine({("hotend.fan", "watches"): "bed.heater"})).finding
    assert "starts with the bed heater, not with the hot-end heater" in found.message
    assert [(c.attribute, c.value) for c in found.changes] == [("watches", "hotend.heater")]


def test_near_miss_watching_the_hot_ends_sensor_is_as_good(machine, ask):
    asked = ask(RULE, machine({("hotend.fan", "watches"): "hotend.sensor"}))
    assert not asked.findings
    assert ("hotend.fan", "watches") in asked.agreed


def test_quiet_on_the_clean_machine(machine, ask):
    assert ask(RULE, machine()).agreed == {("hotend.fan", "watches")}


def _pair(machine, *watched):
    """Return the machine with a second hot-end fan on the first one's switch."""
    claims = {("hotend.fan", f"watches {at}"): Claim("hotend.fan", "watches", heater)
              for at, heater in enumerate(watched)}  # fmt: skip
    second = '[fit.second_fan]\nrole = "hotend1.fan"\nat = "tool.spare"\npart = "fan-24v-0a1"\n\n'
    fan = "[connectors.hotend_fan]"
    wiring = [
        ("marsh-230-c.toml", "[fit.bed_heater]", f"{second}[fit.bed_heater]"),
        (
            "boards/lapwing-c.toml",
            fan,
            f'[connectors.spare]\npins = ["24V", "FAN_HOTEND"]\n\n{fan}',
        ),
    ]
    return machine({("hotend.fan", "watches"): None, **claims}, wiring=wiring)


def test_a_fan_that_shares_a_switch_needs_its_own_hot_end_watched_too(machine, ask):
    found = ask(RULE, _pair(machine, "hotend.heater")).finding
    assert found.message.startswith("The second hot-end fan starts with the hot-end heater, not ")


def test_quiet_where_the_switch_follows_both_hot_ends(machine, ask):
    assert not ask(RULE, _pair(machine, "hotend.heater", "hotend1.heater")).findings
