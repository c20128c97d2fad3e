"""`probe-polarity`."""

from pincheck.model.finding import Severity


def test_a_probe_read_the_wrong_way_round(machine, ask):
    found = ask("probe-polarity", machine({("probe.signal", "inverted"): True})).finding
    assert found.severity is Severity.DANGER
    assert found.message.startswith(
        "The fitted probe's line goes high when it triggers, the firmware waits for low"
    )
    assert [(c.attribute, c.value) for c in found.changes] == [("inverted", False)]


def test_near_miss_an_npn_probe_needs_the_inversion(machine, ask):
    """The inductive NPN probe pulls its line low when it sees the bed."""
    wiring = (("marsh-230-c.toml", '"probe-servo-5v"', '"probe-inductive-npn"\npins = [1, 4, 5]'),)
    case = machine({("probe.signal", "inverted"): True}, wiring=wiring)
    asked = ask("probe-polarity", case)
    assert not asked.findings
    assert ("probe.signal", "inverted") in asked.agreed


def test_files_that_say_nothing_are_not_checked(machine, ask):
    asked = ask("probe-polarity", machine({("probe.signal", "inverted"): None}))
    assert not asked.findings
    assert ("probe.signal", "inverted") in asked.unchecked


OWN_PIN = "#define USE_PROBE_FOR_Z_HOMING\n"
SHARED = "#define Z_MIN_PROBE_USES_Z_MIN_ENDSTOP_PIN\n#define Z_MIN_PIN PB1\n"
STOP = ("machine.h", "Z_MIN_ENDSTOP_INVERTING false", "Z_MIN_ENDSTOP_INVERTING true")


def test_homing_by_the_end_stops_pin_takes_the_end_stops_level(demo):
    result = demo("define", STOP, ("machine.h", OWN_PIN, SHARED))
    (found,) = (f for f in result.findings if f.rule == "probe-polarity")
    assert found.spots == (("probe.signal", "homing_inverted"),)
    assert "homing waits for low" in found.message
    assert found.claims[0].setting.key == "Z_MIN_ENDSTOP_INVERTING"


def test_near_miss_with_a_pin_of_its_own_the_end_stops_level_says_nothing(demo):
    assert not demo("define", STOP).findings
